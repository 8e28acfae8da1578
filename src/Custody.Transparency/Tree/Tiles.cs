namespace Custody.Transparency;

/// <summary>Gives the bytes of a stored tile.</summary>
/// <remarks>May give the full tile where a partial one is asked: its beginning is the same.</remarks>
public delegate ReadOnlyMemory<byte> TileReader(Tile tile);

/// <summary>Which tiles a log of a given size has, and what is in them (c2sp.org/tlog-tiles).</summary>
public static class Tiles
{
    const int Height = 8; // 2^8 = 256 hashes to a tile

    /// <summary>The tiles a log must write when it grows, in an order in which each can be made from those before it; bundles of entries first.</summary>
    /// <param name="from">Size at which all tiles were written.</param>
    /// <param name="to">New size.</param>
    public static IEnumerable<Tile> Between(long from, long to)
    {
        foreach (var tile in AtLevel(0, from, to)) yield return tile.Bundle;
        for (var level = 0; to >> (Height * level) > 0; level++)
            foreach (var tile in AtLevel(level, from, to)) yield return tile;
    }

    /// <summary>Every tile of a log of this size, bundles of entries first.</summary>
    public static IEnumerable<Tile> All(long size) => Between(0, size);

    static IEnumerable<Tile> AtLevel(int level, long from, long to)
    {
        // Hashes at a level: only whole subtrees below are hashed up, partial ones never.
        var (before, after) = (from >> (Height * level), to >> (Height * level));
        if (before == after) yield break;
        for (var index = before / Tile.FullWidth; index * Tile.FullWidth < after; index++)
            yield return new Tile(level, index, (int)Math.Min(Tile.FullWidth, after - (index * Tile.FullWidth)));
    }

    /// <summary>The tile of a level that holds a hash, as it stands at a tree size; width 0 if the tree has none yet.</summary>
    public static Tile Holding(int level, long hashIndex, long size)
    {
        var index = hashIndex / Tile.FullWidth;
        return new Tile(level, index, (int)Math.Clamp((size >> (Height * level)) - (index * Tile.FullWidth), 0, Tile.FullWidth));
    }

    /// <summary>Root of the subtree a full tile spans: the hash that stands for it one level up.</summary>
    /// <exception cref="Malformed"><c>tile.length</c>: not 256 hashes.</exception>
    public static Hash RootOfFull(ReadOnlySpan<byte> tile)
    {
        if (tile.Length != Tile.FullWidth * Hash.Size) throw new Malformed("tile.length", "A full tile has exactly 256 hashes.");
        return Within(tile, Height, 0);
    }

    /// <summary>A reader of subtree hashes over stored tiles, for roots and proofs of the tree of this size. Keeps the tiles it has read.</summary>
    /// <exception cref="Malformed">The reader it returns: <c>tile.length</c> when a tile is shorter than it must be.</exception>
    public static HashReader Reader(long size, TileReader read)
    {
        var kept = new Dictionary<Tile, ReadOnlyMemory<byte>>();
        return (level, index) =>
        {
            var (tileLevel, inner) = (level / Height, level % Height);
            var tile = Holding(tileLevel, index << inner, size);
            if (!kept.TryGetValue(tile, out var bytes)) kept[tile] = bytes = Checked(tile, read(tile));
            return Within(bytes.Span, inner, index - ((tile.Index * Tile.FullWidth) >> inner));
        };
    }

    static ReadOnlyMemory<byte> Checked(Tile tile, ReadOnlyMemory<byte> bytes) => bytes.Length >= tile.Width * Hash.Size
        ? bytes
        : throw new Malformed("tile.length", $"The tile {tile.Path} is shorter than its width says.");

    // Hash of the 2^inner hashes of a tile beginning at index * 2^inner.
    static Hash Within(ReadOnlySpan<byte> tile, int inner, long index) => inner == 0
        ? Hash.FromBytes(tile.Slice(checked((int)index * Hash.Size), Hash.Size))
        : Merkle.Node(Within(tile, inner - 1, index * 2), Within(tile, inner - 1, (index * 2) + 1));
}
