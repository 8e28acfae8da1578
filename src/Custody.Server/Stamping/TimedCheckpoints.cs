using System.Globalization;
using System.Text;
using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Transparency;

namespace Custody.Server.Stamping;

/// <summary>The checkpoints that others timed, as a dossier carries them.</summary>
public sealed class TimedCheckpoints(Cosigners cosigners, Stamper stamper, Checkpoints checkpoints, TileFolder tiles)
{
    /// <summary>The checkpoint with the cosignatures it has got so far.</summary>
    public SignedCheckpoint Cosigned(SignedCheckpoint at) =>
        cosigners.NoteAt(at.Checkpoint.Size) is { } note ? at with { Note = Encoding.UTF8.GetString(note) } : at;

    /// <summary>For each entry the latest timed checkpoint that does not hold it, and the earliest that does; by file name, none twice.</summary>
    /// <param name="indexes">Places of the entries in the log.</param>
    /// <param name="size">Size of the dossier's own checkpoint: later ones could not be shown to be the same tree.</param>
    public IReadOnlyDictionary<string, ReadOnlyMemory<byte>> Around(IEnumerable<long> indexes, long size)
    {
        var timed = cosigners.Sizes().Concat(stamper.Sizes()).Where(s => s <= size).Distinct().Order().ToArray();
        SortedSet<long> needed = [];
        foreach (var index in indexes)
        {
            // The first size above the index; the one before it is the last that does not hold the entry.
            var above = Array.BinarySearch(timed, index + 1) is var found && found >= 0 ? found : ~found;
            if (above > 0) needed.Add(timed[above - 1]);
            if (above < timed.Length) needed.Add(timed[above]);
        }
        Dictionary<string, ReadOnlyMemory<byte>> files = new(StringComparer.Ordinal);
        foreach (var at in needed) Put(files, at, size);
        return files;
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
