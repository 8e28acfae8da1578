using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>The log's tiles as files, outside the database (C2SP tlog-tiles). Full tiles are never written again; partial ones are kept
/// until their tile is full, whose beginning they are: each signed size can be read for ever.</summary>
public sealed class TileFolder(string folder)
{
    // Once a tile is wider its narrower forms need not exist, and a size that was never signed has none: the wider one begins with the same bytes.
    public ReadOnlyMemory<byte> Read(Tile tile) => Bytes(tile) ?? Find(tile) ?? File.ReadAllBytes(PathOf(tile.Full));

    /// <summary>A tile exactly as wide as asked; null when the log has no such tile. A width that was never signed is cut from a wider one, which
    /// begins with the same bytes: clients that saw an older size go on being answered when the narrow file is gone.</summary>
    public ReadOnlyMemory<byte>? Find(Tile tile)
    {
        for (var width = tile.Width; width <= Tile.FullWidth; width++)
            if (Bytes(tile with { Width = width }) is { } bytes) return bytes.AsMemory(0, tile.Length);
        return null;
    }

    // Asked first, because a missing one is usual; and a partial one may go between the question and the reading.
    byte[]? Bytes(Tile tile)
    {
        var path = PathOf(tile);
        if (!File.Exists(path)) return null;
        try
        {
            return File.ReadAllBytes(path);
        }
        catch (Exception gone) when (gone is FileNotFoundException or DirectoryNotFoundException)
        {
            return null;
        }
    }

    /// <summary>Removes the partial forms of tiles that became full between two sizes (c2sp.org/tlog-tiles, "Partial Tiles": a log may once the full one is
    /// there). In a quiet house each act is a checkpoint of its own, and its partial tiles would take twenty times what the act does.</summary>
    /// <remarks>Only after the larger size is published: until then it may be the narrow forms by which the smaller one is read.</remarks>
    public void Prune(long from, long to)
    {
        foreach (var tile in Tiles.Between(from, to))
            if (tile.IsFull && PathOf(tile) + ".p" is var partial && Directory.Exists(partial)) Directory.Delete(partial, recursive: true);
    }

    public HashReader Hashes(long size) => Tiles.Reader(size, Read);

    /// <summary>The records of the entry bundle that holds this index, as it stands at a size.</summary>
    public LogRecord[] Bundle(long index, long size) => EntryBundle.Read(Read(Tiles.Holding(0, index, size).Bundle).Span);

    /// <summary>Writes every tile by which the log grows from one size to the next. Repeating it after a crash writes the same bytes.</summary>
    /// <param name="records">The records from the beginning of the bundle that <paramref name="from"/> falls in, up to <paramref name="to"/>.</param>
    public void Extend(long from, long to, ReadOnlySpan<LogRecord> records)
    {
        var first = from / Tile.FullWidth * Tile.FullWidth;
        if (records.Length != to - first) throw new ArgumentException("The records do not reach from the first bundle to the new size.", nameof(records));
        foreach (var tile in Tiles.Between(from, to)) Durable.Write(PathOf(tile), Content(tile, first, records));
    }

    byte[] Content(Tile tile, long first, ReadOnlySpan<LogRecord> records)
    {
        if (tile.IsEntries) return EntryBundle.Write(Of(tile, first, records));
        var bytes = new byte[tile.Width * Hash.Size];
        if (tile.Level == 0)
        {
            var mine = Of(tile, first, records);
            for (var i = 0; i < mine.Length; i++) mine[i].Leaf().CopyTo(bytes.AsSpan(i * Hash.Size));
            return bytes;
        }
        for (var i = 0; i < tile.Width; i++)
        {
            var below = new Tile(tile.Level - 1, (tile.Index * Tile.FullWidth) + i, Tile.FullWidth);
            Tiles.RootOfFull(File.ReadAllBytes(PathOf(below))).CopyTo(bytes.AsSpan(i * Hash.Size));
        }
        return bytes;
    }

    static ReadOnlySpan<LogRecord> Of(Tile tile, long first, ReadOnlySpan<LogRecord> records) =>
        records.Slice(checked((int)((tile.Index * Tile.FullWidth) - first)), tile.Width);

    string PathOf(Tile tile) => Path.Combine(folder, tile.Path.Replace('/', Path.DirectorySeparatorChar));
}
