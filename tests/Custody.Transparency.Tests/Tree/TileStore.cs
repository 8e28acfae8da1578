namespace Custody.Transparency.Tests;

/// <summary>Tiles in memory, written as a log writes them: from the leaf hashes at level 0, from the full tiles below above it.</summary>
sealed class TileStore
{
    readonly Dictionary<string, byte[]> files = [];

    internal IReadOnlyDictionary<string, byte[]> Files => files;

    internal ReadOnlyMemory<byte> Read(Tile tile) => files[tile.Path];

    internal void Grow(long from, Hash[] leaves)
    {
        foreach (var tile in Tiles.Between(from, leaves.Length).Where(t => !t.IsEntries))
        {
            var bytes = new byte[tile.Width * Hash.Size];
            for (var i = 0; i < tile.Width; i++)
            {
                var index = (tile.Index * Tile.FullWidth) + i;
                var hash = tile.Level == 0 ? leaves[index] : Tiles.RootOfFull(files[new Tile(tile.Level - 1, index, Tile.FullWidth).Path]);
                hash.CopyTo(bytes.AsSpan(i * Hash.Size));
            }
            files[tile.Path] = bytes;
        }
    }
}
