using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Cosigning;

/// <summary>The keeper's file <c>cosigning.policy</c> in the data folder, in the form of c2sp.org/tlog-policy: <c>log</c> lines name ledgers that this one
/// cosigns for, <c>witness</c> lines with an address those who cosign this one's checkpoints, <c>quorum</c> what its checkpoints need. Read again whenever it
/// changes.</summary>
public sealed class CosignSettings(LedgerPlace place)
{
    static readonly CosignPolicy Nobody = CosignPolicy.Parse("quorum none\n"u8);

    sealed record Read(DateTime Written, CosignPolicy Policy);

    Read? known;

    public string Path => place.Folder("cosigning.policy");

    /// <summary>What the file says now; nobody when there is none.</summary>
    /// <exception cref="Malformed"><c>policy</c>: it cannot be read as a policy.</exception>
    public CosignPolicy Now()
    {
        if (!File.Exists(Path)) return Nobody;
        var written = File.GetLastWriteTimeUtc(Path);
        if (known is not { } read || read.Written != written) known = read = new(written, CosignPolicy.Parse(File.ReadAllBytes(Path)));
        return read.Policy;
    }
}
