using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>The public files of a log (c2sp.org/tlog-tiles), wherever they come from: an address, a folder. Whoever implements it reaches out; what is
/// here only asks. Nothing it gives is believed before it leads to a signed root.</summary>
public interface IPublicLog
{
    /// <summary>The signed checkpoint, byte for byte.</summary>
    /// <exception cref="LogUnavailable">It cannot be had.</exception>
    ReadOnlyMemory<byte> Checkpoint();

    /// <summary>These tiles in this order, each as it was served. May fetch ahead, and stops when no more are asked for.</summary>
    /// <exception cref="LogUnavailable">One cannot be had.</exception>
    IEnumerable<ReadOnlyMemory<byte>> Read(IEnumerable<Tile> tiles);
}

/// <summary>The log could not be read, or what was given as the log is none. Says nothing about the ledger: anybody between it and the reader can
/// bring this about.</summary>
/// <param name="code">Stable word for programs.</param>
/// <param name="sentence">For people.</param>
public sealed class LogUnavailable(string code, string sentence) : Exception(sentence)
{
    /// <summary>Stable word for programs.</summary>
    public string Code { get; } = code;

    /// <summary>For people.</summary>
    public string Sentence => Message;
}
