using System.Globalization;
using Custody.Transparency;

namespace Custody.Server.Auditing;

/// <summary>Makes every tile again as the leaves come and compares it with the file (C2SP tlog-tiles): full tiles when they are full, partial ones
/// with the beginning of the tile they are a part of.</summary>
sealed class TilesOnDisk(string folder, Findings findings)
{
    sealed class Level
    {
        public byte[] Hashes { get; } = new byte[Tile.FullWidth * Hash.Size];
        public int Count { get; set; }
        public long Index { get; set; }
    }

    readonly List<Level> levels = [];
    readonly List<LogRecord> bundle = new(Tile.FullWidth);
    LogRecord[] published = [];
    long publishedFrom = -1;

    /// <summary>The published record at an index, or null where no bundle holds it.</summary>
    public LogRecord? Record(long index)
    {
        var from = index / Tile.FullWidth * Tile.FullWidth;
        if (publishedFrom != from) (publishedFrom, published) = (from, Bundle(index / Tile.FullWidth));
        return index - from < published.Length ? published[index - from] : null;
    }

    public void Append(LogRecord record)
    {
        bundle.Add(record);
        Append(0, record.Leaf());
    }

    void Append(int number, Hash hash)
    {
        if (levels.Count == number) levels.Add(new());
        var level = levels[number];
        hash.CopyTo(level.Hashes.AsSpan(level.Count++ * Hash.Size));
        if (level.Count < Tile.FullWidth) return;
        Compare(number, level);
        Append(number + 1, Tiles.RootOfFull(level.Hashes));
        (level.Count, level.Index) = (0, level.Index + 1);
        if (number == 0) bundle.Clear();
    }

    /// <summary>The partial tiles that a signed size must have on disk: until they are full nobody can read that size without them.</summary>
    public void AtNewest()
    {
        for (var number = 0; number < levels.Count; number++)
        {
            if (levels[number] is not { Count: > 0 } level) continue;
            var tile = new Tile(number, level.Index, level.Count);
            foreach (var needed in number == 0 ? [tile, tile.Bundle] : new[] { tile })
                if (!File.Exists(PathOf(needed)) && !File.Exists(PathOf(needed.Full))) findings.Fault("tile-missing", needed.Path, "the file is missing.");
        }
    }

    public void End()
    {
        for (var number = 0; number < levels.Count; number++)
            if (levels[number].Count > 0) Compare(number, levels[number]);
    }

    void Compare(int number, Level level)
    {
        Compare(new Tile(number, level.Index, level.Count), level.Hashes.AsSpan(0, level.Count * Hash.Size), Hash.Size);
        if (number == 0) Compare(new Tile(Tile.Entries, level.Index, level.Count), EntryBundle.Write([.. bundle]), LogRecord.Size + 2);
    }

    void Compare(Tile tile, ReadOnlySpan<byte> bytes, int step)
    {
        if (tile.IsFull)
        {
            if (!File.Exists(PathOf(tile))) findings.Fault("tile-missing", tile.Path, "the file is missing.");
            else if (!File.ReadAllBytes(PathOf(tile)).AsSpan().SequenceEqual(bytes)) findings.Fault("tile-other", tile.Path, "the file is not what the leaves give.");
        }
        var partial = new DirectoryInfo(PathOf(tile.Full) + ".p");
        if (!partial.Exists) return;
        foreach (var file in partial.EnumerateFiles())
        {
            // Wider than what was in the database when the audit began: written since.
            if (!int.TryParse(file.Name, NumberStyles.None, CultureInfo.InvariantCulture, out var width) || width > tile.Width) continue;
            if (!File.ReadAllBytes(file.FullName).AsSpan().SequenceEqual(bytes[..(width * step)]))
                findings.Fault("tile-other", (tile with { Width = width }).Path, "the file is not what the leaves give.");
        }
    }

    LogRecord[] Bundle(long index)
    {
        var full = new Tile(Tile.Entries, index, Tile.FullWidth);
        var path = PathOf(full);
        if (!File.Exists(path))
        {
            var partial = new DirectoryInfo(path + ".p");
            var widest = partial.Exists ? partial.EnumerateFiles().Select(f => int.TryParse(f.Name, NumberStyles.None, CultureInfo.InvariantCulture, out var w) ? w : 0).DefaultIfEmpty().Max() : 0;
            if (widest == 0) return [];
            path = PathOf(full with { Width = widest });
        }
        try
        {
            return EntryBundle.Read(File.ReadAllBytes(path));
        }
        catch (Malformed)
        {
            return []; // Compared and found when its tile ends.
        }
    }

    string PathOf(Tile tile) => Path.Combine(folder, tile.Path.Replace('/', Path.DirectorySeparatorChar));
}
