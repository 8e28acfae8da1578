using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Restoring;

/// <summary>Who bears out that nothing later than what is here was published.</summary>
public sealed record BorneOut(long Size, int Cosigners, int Seen);

/// <summary>Opens a ledger that was brought back from a backup, once somebody outside was asked. A backup may hold an older log beside the older database: then
/// nothing here can tell, and only those who saw more can.</summary>
public sealed class Confirming(LedgerPlace place, Publisher publisher, Checkpoints checkpoints, TileFolder tiles, LogKeys keys, Cosigners cosigners)
{
    /// <param name="seen">Checkpoints that anybody outside has seen, as signed notes: from a dossier, a follower, the lost machine.</param>
    /// <param name="alone">The keeper answers for it that nobody outside has seen more.</param>
    /// <exception cref="LogFault">More was published than is here, or something else; or nobody was asked. The ledger stays closed.</exception>
    public async Task<BorneOut> Run(IReadOnlyList<byte[]> seen, bool alone, CancellationToken ct)
    {
        foreach (var note in seen) Compare(note);
        var last = await publisher.Hold(ct);
        var gathered = await cosigners.Gather(ct, anew: true);
        if (gathered?.Standings.FirstOrDefault(s => s.IsAlarm) is { } alarm)
            throw new LogFault("cosigner-saw-more", $"{alarm.Name}: {alarm.Fault} Look for a newer copy of the log and of the database; 'restore recover' takes lost records back from tiles.");
        var vouching = gathered?.Standings.Count(s => s.Fault is null) ?? 0;
        if (vouching == 0 && seen.Count == 0 && !alone)
            throw new LogFault("nobody-confirmed", "No cosigner answered, and no checkpoint seen outside was given. Give one with --seen, or answer for it yourself with --nobody-outside: "
                + "if somebody has seen more than is here, this ledger will then tell two histories, and can be proved to have done so.");
        checkpoints.Confirm();
        return new(last?.Size ?? 0, vouching, seen.Count);
    }

    void Compare(byte[] bytes)
    {
        var (note, checkpoint) = Read(bytes);
        var last = checkpoints.LastOutside();
        if (last is not null && checkpoint.Size <= last.Size)
        {
            if (Merkle.Root(checkpoint.Size, tiles.Hashes(checkpoint.Size)) == checkpoint.Root) return;
            throw new LogFault("seen-other", $"The checkpoint of size {checkpoint.Size} that was seen outside has another root than the tiles here. Keep it: one of the two is false.");
        }
        if (!note.Verify(keys.Signer.Verifier).Holds)
            throw new LogFault("seen-not-ours", $"A checkpoint of size {checkpoint.Size} was given that the key here did not sign. If the key was changed since the backup, bring the newer keys.");
        // Signed by this ledger, and more than it has: from now on it is what the database is held against.
        checkpoints.TakeFromOutside(bytes);
    }

    (SignedNote, Checkpoint) Read(byte[] bytes)
    {
        try
        {
            var note = SignedNote.Parse(bytes);
            var checkpoint = Checkpoint.Read(note);
            return checkpoint.Origin == place.Origin ? (note, checkpoint) : throw new LogFault("seen-not-ours", $"The checkpoint given is of {checkpoint.Origin}, not of {place.Origin}.");
        }
        catch (Malformed malformed)
        {
            throw new LogFault("seen-malformed", $"What was given is no checkpoint: {malformed.Sentence}");
        }
    }
}
