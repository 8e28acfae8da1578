using System.Globalization;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Goes once over the records of a public log, holding one bundle and the tree's edge in memory, and lets nothing pass that does not lead
/// to the root that was signed.</summary>
public static class LogPass
{
    /// <summary>Most records read: about 1.3 GB of bundles. A ledger of bats is far from it; what claims more is not read to its end.</summary>
    public const long MaxRecords = 20_000_000;

    /// <summary>Reads the records between two sizes.</summary>
    /// <param name="to">Checkpoint whose signature the caller has verified.</param>
    /// <param name="from">Edge of the tree to begin at; moved on to the end.</param>
    /// <param name="sizes">Sizes at which the root is wanted.</param>
    /// <param name="see">Told each record. What it learns counts only once this method has returned.</param>
    /// <returns>The roots at those of the sizes that were passed.</returns>
    /// <exception cref="LogUnavailable">Something cannot be had, is no bundle, or does not lead to the root.</exception>
    public static IReadOnlyDictionary<long, Hash> Over(IPublicLog log, Checkpoint to, Frontier from, IEnumerable<long> sizes, Action<long, LogRecord> see)
    {
        if (to.Size - from.Size > MaxRecords)
            throw new LogUnavailable("log-too-long", string.Create(CultureInfo.InvariantCulture, $"The log claims {to.Size} entries; at most {MaxRecords} are read."));
        var wanted = sizes.ToHashSet();
        Dictionary<long, Hash> roots = [];
        void Note()
        {
            if (wanted.Contains(from.Size)) roots[from.Size] = from.Root();
        }
        Note();
        foreach (var (tile, bytes) in Given(log, Bundles(from.Size, to.Size)))
        {
            var records = Records(tile, bytes);
            for (var i = (int)(from.Size - (tile.Index * Tile.FullWidth)); i < records.Length; i++)
            {
                see(from.Size, records[i]);
                from.Append(records[i].Leaf());
                Note();
            }
        }
        if (from.Size != to.Size || from.Root() != to.Root)
            throw new LogUnavailable("log-root", "The records served do not give the root that the ledger signed: they were changed, by whoever serves them or on the way.");
        return roots;
    }

    /// <summary>A reader of subtree hashes over the public tiles of a log of this size. Good for every smaller size too, because a complete subtree
    /// never changes; so partial tiles of older sizes are not needed.</summary>
    /// <exception cref="LogUnavailable">The reader it returns.</exception>
    public static HashReader Hashes(IPublicLog log, long size) => Tiles.Reader(size, tile => Given(log, [tile]).Single().Bytes);

    static IEnumerable<Tile> Bundles(long from, long to)
    {
        for (var index = from / Tile.FullWidth; index * Tile.FullWidth < to; index++)
            yield return new Tile(Tile.Entries, index, (int)Math.Min(Tile.FullWidth, to - (index * Tile.FullWidth)));
    }

    static IEnumerable<(Tile Tile, ReadOnlyMemory<byte> Bytes)> Given(IPublicLog log, IEnumerable<Tile> tiles)
    {
        Queue<Tile> asked = new();
        foreach (var bytes in log.Read(tiles.Select(t => { asked.Enqueue(t); return t; })))
        {
            var tile = asked.Dequeue();
            if (bytes.Length != tile.Length)
                throw new LogUnavailable("log-tile", string.Create(CultureInfo.InvariantCulture, $"{tile.Path} has {bytes.Length} bytes and not {tile.Length}: it is no tile of that width."));
            yield return (tile, bytes);
        }
    }

    static LogRecord[] Records(Tile tile, ReadOnlyMemory<byte> bytes)
    {
        try
        {
            return EntryBundle.Read(bytes.Span);
        }
        catch (Malformed malformed)
        {
            throw new LogUnavailable("log-bundle", $"{tile.Path} is not a bundle of records: {malformed.Sentence}");
        }
    }
}
