namespace Custody.Transparency.Tests;

public class TileTests
{
    [Theory]
    [InlineData(0, 1234067, 256, "tile/0/x001/x234/067")] // c2sp.org/tlog-tiles, the example of index 1234067
    [InlineData(0, 273, 112, "tile/0/273.p/112")]
    [InlineData(2, 0, 1, "tile/2/000.p/1")]
    [InlineData(1, 999, 256, "tile/1/999")]
    [InlineData(1, 1000, 255, "tile/1/x001/000.p/255")]
    [InlineData(63, 5, 256, "tile/63/005")]
    [InlineData(Tile.Entries, 1234067, 8, "tile/entries/x001/x234/067.p/8")]
    public void Addresses_are_as_the_specification_shows(int level, long index, int width, string path)
    {
        var tile = new Tile(level, index, width);
        Assert.Equal(path, tile.Path);
        Assert.Equal(tile, Tile.Parse(path));
    }

    [Theory]
    [InlineData("tile/0/1")]
    [InlineData("tile/0/0001")]
    [InlineData("tile/00/001")]
    [InlineData("tile/64/001")]
    [InlineData("tile/-1/001")]
    [InlineData("tile/0/001/002")]
    [InlineData("tile/0/x000/001")]
    [InlineData("tile/0/xx01/001")]
    [InlineData("tile/0/x001")]
    [InlineData("tile/0/001.p/0")]
    [InlineData("tile/0/001.p/256")]
    [InlineData("tile/0/001.p/01")]
    [InlineData("tile/0/001.p/-1")]
    [InlineData("tile/0/001.p/")]
    [InlineData("tile/0/001.p")]
    [InlineData("tile/0/../001")]
    [InlineData("/tile/0/001")]
    [InlineData("tile/Entries/001")]
    [InlineData("tile/0/٠٠١")]
    [InlineData("tile/0/x999/x999/x999/x999/x999/x999/x999/999")]
    [InlineData("")]
    public void Second_spellings_are_refused(string path) => Refused.With("tile.path", () => Tile.Parse(path));

    [Fact] // c2sp.org/tlog-tiles, "Partial Tiles": the tree of size 70,000
    public void A_tree_of_70000_has_the_tiles_the_specification_counts()
    {
        var tiles = Tiles.All(70_000).ToList();
        Assert.Equal(273, tiles.Count(t => t is { Level: 0, IsFull: true }));
        Assert.Equal([112], tiles.Where(t => t is { Level: 0, IsFull: false }).Select(t => t.Width));
        Assert.Equal([256, 17], tiles.Where(t => t.Level == 1).Select(t => t.Width));
        Assert.Equal([1], tiles.Where(t => t.Level == 2).Select(t => t.Width));
        Assert.Equal(tiles.Where(t => t.Level == 0).Select(t => t.Bundle), tiles.Where(t => t.IsEntries));
        Assert.Equal(276, tiles.Count(t => !t.IsEntries) - 1);
    }

    [Fact] // the same place: size 256
    public void A_tree_of_256_has_one_full_tile_and_one_of_width_1_above() =>
        Assert.Equal(["tile/entries/000", "tile/0/000", "tile/1/000.p/1"], Tiles.All(256).Select(t => t.Path));

    [Fact]
    public void Growing_writes_only_what_changed()
    {
        Assert.Empty(Tiles.All(0));
        Assert.Empty(Tiles.Between(300, 300));
        Assert.Equal(["tile/entries/001.p/45", "tile/0/001.p/45"], Tiles.Between(300, 301).Select(t => t.Path));
        Assert.Equal(
            ["tile/entries/000", "tile/entries/001.p/1", "tile/0/000", "tile/0/001.p/1", "tile/1/000.p/1"],
            Tiles.Between(255, 257).Select(t => t.Path));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(255)]
    [InlineData(256)]
    [InlineData(257)]
    [InlineData(1000)]
    [InlineData(66_000)]
    public void Roots_and_proofs_read_from_tiles_equal_those_of_the_leaves(int size)
    {
        var leaves = Enumerable.Range(0, size).Select(i => Merkle.Leaf(BitConverter.GetBytes(i))).ToArray();
        var frontier = new Frontier();
        foreach (var leaf in leaves) frontier.Append(leaf);
        var read = Tiles.Reader(size, Stored(leaves).Read);
        var root = frontier.Root();
        Assert.Equal(root, Merkle.Root(size, read));
        foreach (var index in new[] { 0, size / 3, size - 1 })
            Assert.True(Merkle.VerifyInclusion(leaves[index], index, size, Merkle.InclusionProof(index, size, read), root));
        foreach (var before in new[] { 1, (size + 1) / 2, size })
            Assert.True(Merkle.VerifyConsistency(before, Merkle.Root(before, read), size, root, Merkle.ConsistencyProof(before, size, read)));
        Assert.Equal(frontier.Roots, Frontier.Read(size, read).Roots);
    }

    static TileStore Stored(Hash[] leaves)
    {
        var store = new TileStore();
        store.Grow(0, leaves);
        return store;
    }

    [Fact]
    public void Tiles_written_step_by_step_are_those_written_at_once()
    {
        var leaves = Enumerable.Range(0, 1500).Select(i => Merkle.Leaf(BitConverter.GetBytes(i))).ToArray();
        var steps = new TileStore();
        var random = new Random(4);
        for (var size = 0; size < leaves.Length;)
        {
            var next = Math.Min(leaves.Length, size + random.Next(1, 90));
            steps.Grow(size, leaves[..next]);
            size = next;
        }
        var once = Stored(leaves);
        Assert.All(Tiles.All(leaves.Length).Where(t => !t.IsEntries), t => Assert.Equal(once.Read(t), steps.Read(t)));
    }

    [Fact]
    public void A_tile_cut_short_is_refused()
    {
        Refused.With("tile.length", () => Tiles.Reader(3, _ => new byte[64])(0, 2));
        Refused.With("tile.length", () => Tiles.RootOfFull(new byte[8191]));
    }

    [Fact]
    public void Bundles_read_back()
    {
        var records = Enumerable.Range(0, 256).Select(i => new LogRecord(Hash.Of([(byte)i]), SlotTag.Compute("ledger", "bat/x", i + 1))).ToArray();
        var bytes = EntryBundle.Write(records);
        Assert.Equal(256 * 66, bytes.Length);
        Assert.Equal([0, 64], bytes[..2]);
        Assert.Equal(records, EntryBundle.Read(bytes));
        Assert.Equal(Merkle.Leaf(bytes.AsSpan(2, 64)), records[0].Leaf());
        Refused.With("bundle", () => EntryBundle.Read([]));
        Refused.With("bundle", () => EntryBundle.Read(bytes.AsSpan(0, bytes.Length - 1)));
        Refused.With("bundle", () => EntryBundle.Read([.. bytes, .. bytes[..66]]));
        bytes[66] = 1;
        Assert.Equal(66, Refused.With("bundle", () => EntryBundle.Read(bytes)).Offset);
    }
}
