using System.Text;
using Custody.Bats;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>What the rest of the house asks of the log: a published checkpoint, the head of a stream under it, proofs of its entries.</summary>
public sealed class LogDesk(Leaves leaves, TileFolder tiles, Checkpoints checkpoints, LogKeys keys, SequencerStanding standing)
{
    public VerifierKey Key => keys.Signer.Verifier;

    public Task<SignedCheckpoint?> Newest(CancellationToken ct) => checkpoints.Newest(ct);

    /// <summary>The newest checkpoint once it covers this entry.</summary>
    /// <exception cref="LogFault">It does not within the time: the sequencer stopped, or runs nowhere.</exception>
    public async Task<SignedCheckpoint> Covering(string stream, long n, TimeSpan longest, CancellationToken ct)
    {
        var until = TimeProvider.System.GetTimestamp() + (longest.Ticks * TimeProvider.System.TimestampFrequency / TimeSpan.TicksPerSecond);
        while (true)
        {
            if (standing.Fault is { } fault) throw fault;
            if (await leaves.IndexOf(stream, n, ct) is { } index && await checkpoints.Newest(ct) is { } newest && newest.Checkpoint.Size > index) return newest;
            if (TimeProvider.System.GetTimestamp() > until)
                throw new LogFault("not-published", $"Entry {n} of {stream} is not under a published checkpoint yet. Try again shortly; if it stays so, see whether the sequencer runs.");
            await Task.Delay(20, ct);
        }
    }

    /// <summary>The signed head of a stream under a checkpoint. The same checkpoint gives the same bytes.</summary>
    public async Task<string> HeadOf(string stream, SignedCheckpoint at, CancellationToken ct)
    {
        var last = await leaves.LastOf(stream, at.Checkpoint.Size, ct)
            ?? throw new LogFault("not-published", $"No entry of {stream} is under this checkpoint.");
        // Another process may have changed the key since this one read it: a head is signed by the key that signed its checkpoint.
        if (!IsSignedNow(at)) keys.Refresh();
        if (!IsSignedNow(at)) throw new LogFault("key-other", "The newest checkpoint was signed by another key than the one in the folder. Bring that key back.");
        var head = new Head(at.Checkpoint.Origin, stream, last.N, last.Hash, at.Checkpoint.Size, at.Checkpoint.Root, at.Signed);
        return Encoding.UTF8.GetString(head.Sign(keys.Signer).ToArray());
    }

    /// <summary>Whether the tree of a checkpoint holds any entry of a stream.</summary>
    public async Task<bool> Covers(string stream, SignedCheckpoint at, CancellationToken ct) => await leaves.LastOf(stream, at.Checkpoint.Size, ct) is not null;

    /// <summary>What has been recorded since a dossier that ends with this entry, as of the newest checkpoint; null when no entry of the stream is under it.</summary>
    public async Task<LaterThan?> LaterThan(string stream, long n, Hash entry, CancellationToken ct)
    {
        if (await checkpoints.Newest(ct) is not { } at || await leaves.LastOf(stream, at.Checkpoint.Size, ct) is not { } last) return null;
        return Custody.Ledger.LaterThan.Compare(stream, n, entry, await leaves.HashOf(stream, n, at.Checkpoint.Size, ct), last.N, at.Checkpoint.Size, at.Signed);
    }

    /// <summary>Whether the key that signs now has signed this checkpoint, so that heads under it can be signed.</summary>
    public bool IsSignedNow(SignedCheckpoint at) => SignedNote.Parse(Encoding.UTF8.GetBytes(at.Note)).Signatures.Any(keys.Signer.Verifier.Owns);

    /// <summary>Index of an entry in the log, or null while it waits.</summary>
    public Task<long?> IndexOf(Reference entry, CancellationToken ct) => leaves.IndexOf(entry.Stream.ToString(), entry.N, ct);

    /// <summary>The inclusion proof of an entry under a checkpoint (C2SP tlog-proof).</summary>
    public async Task<TlogProof> ProofOf(Reference entry, SignedCheckpoint at, CancellationToken ct)
    {
        var index = await leaves.IndexOf(entry.Stream.ToString(), entry.N, ct);
        if (index is not { } i || i >= at.Checkpoint.Size)
            throw new LogFault("not-published", $"Entry {entry.N} of {entry.Stream} is not under this checkpoint.");
        return new(i, Merkle.InclusionProof(i, at.Checkpoint.Size, tiles.Hashes(at.Checkpoint.Size)), Encoding.UTF8.GetBytes(at.Note));
    }
}
