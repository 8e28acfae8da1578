using System.Globalization;
using System.Text;

namespace Custody.Transparency;

/// <summary>What a log sends to a cosigner (c2sp.org/tlog-witness, "add-checkpoint"): the size it believes was cosigned last, the proof from there,
/// and the new checkpoint as it was signed.</summary>
/// <param name="Old">Size of the checkpoint before; 0 when there is none.</param>
/// <param name="Proof">Consistency proof from that size; empty from 0.</param>
/// <param name="Checkpoint">The signed checkpoint.</param>
public sealed record AddCheckpoint(long Old, IReadOnlyList<Hash> Proof, SignedNote Checkpoint)
{
    /// <summary>Most proof lines a request may have.</summary>
    public const int MostLines = 63;

    /// <summary>Longest request that is read, in bytes: 63 lines of 45 bytes and a note.</summary>
    public const int MaxBytes = 64 << 10;

    /// <summary>Media type of the answer that tells the size cosigned last.</summary>
    public const string SizeType = "text/x.tlog.size";

    /// <summary>The request's body.</summary>
    public byte[] ToArray()
    {
        var head = new StringBuilder(string.Create(CultureInfo.InvariantCulture, $"old {Old}\n"));
        foreach (var hash in Proof) head.Append(hash.Standard).Append('\n');
        return [.. Encoding.ASCII.GetBytes(head.Append('\n').ToString()), .. Checkpoint.ToArray()];
    }

    /// <summary>Reads a request's body. Verifies nothing.</summary>
    /// <exception cref="Malformed"><c>cosign.request</c>, or a code of <see cref="SignedNote.Parse"/>.</exception>
    public static AddCheckpoint Parse(ReadOnlySpan<byte> body)
    {
        if (body.Length > MaxBytes) throw Bad($"A request has at most {MaxBytes} bytes.");
        var split = body.IndexOf("\n\n"u8);
        if (split < 0) throw Bad("An empty line parts the proof from the checkpoint.");
        var lines = Encoding.Latin1.GetString(body[..split]).Split('\n');
        if (!lines[0].StartsWith("old ", StringComparison.Ordinal)) throw Bad("The first line is the word old, a space and a size.");
        if (lines.Length > MostLines + 1) throw Bad($"A proof has at most {MostLines} lines.");
        return new(NoteText.Decimal(lines[0][4..], "cosign.request"), [.. lines.Skip(1).Select(l => NoteText.Hash(l, "cosign.request"))], SignedNote.Parse(body[(split + 2)..]));
    }

    static Malformed Bad(string sentence) => new("cosign.request", sentence);
}
