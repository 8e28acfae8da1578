using System.Globalization;

namespace Custody.Transparency;

/// <summary>One file of a tiled log (c2sp.org/tlog-tiles): up to 256 hashes of one level, or the bundle of entries below a level 0 tile.</summary>
/// <param name="Level">0 for leaf hashes, each level above 256 times coarser; -1 for a bundle of entries.</param>
/// <param name="Index">Place within the level.</param>
/// <param name="Width">Hashes or entries in it: 256 when full, 1 to 255 when partial.</param>
public readonly record struct Tile(int Level, long Index, int Width)
{
    /// <summary>Hashes or entries in a full tile.</summary>
    public const int FullWidth = 256;

    /// <summary>The <see cref="Level"/> that stands for a bundle of entries.</summary>
    public const int Entries = -1;

    /// <summary>Whether it is full, so never written again.</summary>
    public bool IsFull => Width == FullWidth;

    /// <summary>Whether it holds entries, not hashes.</summary>
    public bool IsEntries => Level == Entries;

    /// <summary>The bundle of the entries whose hashes this level 0 tile holds.</summary>
    public Tile Bundle => this with { Level = Entries };

    /// <summary>Bytes of it: 32 for each hash, 66 for each entry of a bundle.</summary>
    public int Length => Width * (IsEntries ? EntryBundle.Step : Hash.Size);

    /// <summary>The same tile filled up.</summary>
    public Tile Full => this with { Width = FullWidth };

    /// <summary>The address below the log's prefix, without leading slash: <c>tile/0/x001/x234/067.p/112</c>, <c>tile/entries/000</c>.</summary>
    public string Path
    {
        get
        {
            var level = IsEntries ? "entries" : Level.ToString(CultureInfo.InvariantCulture);
            var partial = IsFull ? "" : string.Create(CultureInfo.InvariantCulture, $".p/{Width}");
            return $"tile/{level}/{Number(Index)}{partial}";
        }
    }

    // Three digits to a path part, all but the last after an x, so that no name is both a file and a folder.
    static string Number(long index)
    {
        var text = (index % 1000).ToString("000", CultureInfo.InvariantCulture);
        while ((index /= 1000) > 0) text = string.Create(CultureInfo.InvariantCulture, $"x{index % 1000:000}/{text}");
        return text;
    }

    /// <summary>Reads an address as <see cref="Path"/> writes it.</summary>
    /// <exception cref="Malformed"><c>tile.path</c>: anything else.</exception>
    public static Tile Parse(string path) => TryParse(path, out var tile)
        ? tile
        : throw new Malformed("tile.path", "This is not the address of a tile.");

    /// <summary>Reads an address as <see cref="Path"/> writes it, or false.</summary>
    public static bool TryParse(string path, out Tile tile)
    {
        tile = default;
        if (path.Length > 64) return false;
        var parts = path.Split('/');
        if (parts.Length < 3 || parts[0] != "tile") return false;
        var level = parts[1] == "entries" ? Entries : Decimal(parts[1]);
        var width = FullWidth;
        var last = parts.Length;
        if (parts[^2].EndsWith(".p", StringComparison.Ordinal))
        {
            width = (int)Decimal(parts[^1]);
            parts[--last - 1] = parts[last - 1][..^2];
        }
        tile = new Tile((int)level, ReadIndex(parts[2..last]), width);
        // Writing it again and comparing refuses every second spelling: leading zeros, missing x, a width of 0 or 256.
        return level is >= Entries and <= 63 && width is > 0 and <= FullWidth && string.Equals(tile.Path, path, StringComparison.Ordinal);
    }

    static long Decimal(string text) => text.Length <= 3 && int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var value)
        ? value
        : -2;

    static long ReadIndex(string[] parts)
    {
        var index = 0L;
        foreach (var part in parts[..Math.Min(parts.Length, 6)]) index = (index * 1000) + Math.Max(0, Decimal(part.TrimStart('x')));
        return index;
    }
}
