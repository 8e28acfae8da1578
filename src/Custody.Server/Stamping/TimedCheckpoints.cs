using System.Globalization;
using System.Text;
using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Transparency;

namespace Custody.Server.Stamping;

/// <summary>The checkpoints that others timed, as a dossier carries them.</summary>
public sealed class TimedCheckpoints(Cosigners cosigners, Stamper stamper, Checkpoints checkpoints, TileFolder tiles, LogDesk log)
{
    /// <summary>The checkpoint that a dossier stands under best: the newest one if it is cosigned as the policy asks, after asking once more; otherwise the
    /// newest below it that is, if it covers the history too.</summary>
    /// <param name="newest">The newest checkpoint.</param>
    /// <param name="least">Size that covers the history.</param>
    public async Task<SignedCheckpoint> Best(SignedCheckpoint newest, long least, CancellationToken ct)
    {
        if (!cosigners.HasQuorum(newest.Checkpoint.Size)) await AskOnceMore(ct);
        foreach (var size in cosigners.Sizes().Reverse().Where(s => s >= least && s <= newest.Checkpoint.Size).Take(MostLooked))
            if (cosigners.HasQuorum(size) && await checkpoints.At(size, ct) is { } at && log.IsSignedNow(at)) return Cosigned(at);
        return Cosigned(newest);
    }

    async Task AskOnceMore(CancellationToken ct)
    {
        try
        {
            await cosigners.Gather(ct, patient: true);
        }
        catch (Malformed)
        {
            // A dossier is not held up by a policy that cannot be read; it is handed out with the cosignatures there are.
        }
    }

    /// <summary>Farther than this nobody looks for a checkpoint that is cosigned by enough.</summary>
    const int MostLooked = 64;

    /// <summary>The checkpoint with the cosignatures it has got so far.</summary>
    public SignedCheckpoint Cosigned(SignedCheckpoint at) =>
        cosigners.NoteAt(at.Checkpoint.Size) is { } note ? at with { Note = Encoding.UTF8.GetString(note) } : at;

    /// <summary>For each entry the latest timed checkpoint that does not hold it, and the earliest that does; by file name, none twice.</summary>
    /// <param name="indexes">Places of the entries in the log.</param>
    /// <param name="size">Size of the dossier's own checkpoint: later ones could not be shown to be the same tree.</param>
    public IReadOnlyDictionary<string, ReadOnlyMemory<byte>> Around(IEnumerable<long> indexes, long size)
    {
        var timed = cosigners.Sizes().Concat(stamper.Sizes()).Where(s => s <= size).Distinct().Order().ToArray();
        Dictionary<long, bool> asked = [];
        bool IsEnough(long at) => asked.TryGetValue(at, out var known) ? known : asked[at] = stamper.At(at) is not null || cosigners.HasQuorum(at);
        SortedSet<long> needed = [];
        foreach (var index in indexes)
        {
            // The first size above the index; the one before it is the last that does not hold the entry.
            var above = Array.BinarySearch(timed, index + 1) is var found && found >= 0 ? found : ~found;
            if (above > 0) needed.Add(Nearest([.. timed[Math.Max(0, above - MostLooked)..above].Reverse()]));
            if (above < timed.Length) needed.Add(Nearest(timed[above..Math.Min(above + MostLooked, timed.Length)]));
        }
        Dictionary<string, ReadOnlyMemory<byte>> files = new(StringComparer.Ordinal);
        foreach (var at in needed) Put(files, at, size);
        return files;

        // Where nobody near is cosigned by enough, the nearest: the reader's policy may ask for less than the keeper's.
        long Nearest(long[] sizes) => Array.Find(sizes, IsEnough) is > 0 and var near ? near : sizes[0];
    }

    void Put(Dictionary<string, ReadOnlyMemory<byte>> files, long at, long size)
    {
        if ((cosigners.NoteAt(at) ?? checkpoints.FileAt(at)) is not { } note) return;
        var name = at.ToString(CultureInfo.InvariantCulture);
        files[name + ".checkpoint"] = note;
        files[name + ".consistency"] = Encoding.ASCII.GetBytes(string.Concat(Merkle.ConsistencyProof(at, size, tiles.Hashes(size)).Select(h => h.Standard + "\n")));
        if (stamper.At(at) is { } stamp) files[name + ".tsr"] = stamp;
    }
}
