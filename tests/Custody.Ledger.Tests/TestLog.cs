using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>A public log in memory, as honest as the test wants it.</summary>
sealed class TestLog(byte[] checkpoint, IEnumerable<LogRecord> records) : IPublicLog
{
    readonly LogRecord[] records = [.. records];

    /// <summary>What becomes of a file before it is served, by its path; null when it is withheld.</summary>
    public Func<string, byte[], byte[]?> Serve { get; init; } = (_, bytes) => bytes;

    /// <summary>Tiles that were asked for.</summary>
    public List<Tile> Asked { get; } = [];

    public IReadOnlyList<LogRecord> Records => records;

    public TestLog With(Func<string, byte[], byte[]?> serve) => new(checkpoint, records) { Serve = serve };

    public ReadOnlyMemory<byte> Checkpoint() => Served("checkpoint", checkpoint);

    public IEnumerable<ReadOnlyMemory<byte>> Read(IEnumerable<Tile> tiles)
    {
        foreach (var tile in tiles)
        {
            Asked.Add(tile);
            yield return Served(tile.Path, Content(tile));
        }
    }

    /// <summary>What a server would answer for a path; null when there is nothing.</summary>
    public byte[]? File(string path) => path == "checkpoint" ? Serve(path, checkpoint)
        : Tile.TryParse(path, out var tile) && (tile.IsEntries ? 0 : tile.Level * 8) is var shift && (tile.Index * Tile.FullWidth) + tile.Width <= records.Length >> shift
            ? Serve(path, Content(tile)) : null;

    byte[] Served(string path, byte[] bytes) => Serve(path, bytes) ?? throw new LogUnavailable("log-missing", $"{path} is not there.");

    byte[] Content(Tile tile)
    {
        if (tile.IsEntries) return EntryBundle.Write(records.AsSpan((int)tile.Index * Tile.FullWidth, tile.Width));
        return [.. Enumerable.Range(0, tile.Width).SelectMany(i => Subtree(8 * tile.Level, (tile.Index * Tile.FullWidth) + i).ToArray())];
    }

    /// <summary>Hash of a complete subtree, straight from the definition (RFC 9162 section 2.1.1).</summary>
    public Hash Subtree(int level, long index) =>
        level == 0 ? records[index].Leaf() : Merkle.Node(Subtree(level - 1, index * 2), Subtree(level - 1, (index * 2) + 1));
}

static class PublicLogs
{
    /// <summary>The log as the public sees it now.</summary>
    public static TestLog Public(this TestLedger ledger) => new(ledger.SignedNow(), ledger.Records);
}
