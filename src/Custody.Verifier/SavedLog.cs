using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Verifier;

/// <summary>A public log saved in a folder, by the same names as at its address. Where an address is given too, what is not saved yet is fetched there and
/// saved: tiles never change, so the next look costs only what is new.</summary>
sealed class SavedLog(string folder, WebLog? web) : IPublicLog
{
    // Tiles taken from the web at a time, so that they come side by side.
    const int Batch = 64;

    public ReadOnlyMemory<byte> Checkpoint()
    {
        if (web is null) return ReadFile("checkpoint", 1 << 16) ?? throw new LogUnavailable("log-missing", $"There is no checkpoint in {folder}.");
        var checkpoint = web.Checkpoint();
        Save("checkpoint", checkpoint);
        return checkpoint;
    }

    public IEnumerable<ReadOnlyMemory<byte>> Read(IEnumerable<Tile> tiles)
    {
        foreach (var batch in tiles.Chunk(Batch))
        {
            var saved = batch.ToDictionary(t => t, Saved);
            using var fetched = (web is null ? [] : web.Read(batch.Where(t => saved[t] is null))).GetEnumerator();
            foreach (var tile in batch)
            {
                if (saved[tile] is { } bytes) yield return bytes;
                else if (fetched.MoveNext()) yield return Kept(tile, fetched.Current);
                else throw new LogUnavailable("log-missing", $"{tile.Path} is not in {folder}.");
            }
        }
    }

    // A file of another length is no tile of that width; it is fetched again, or missing.
    ReadOnlyMemory<byte>? Saved(Tile tile)
    {
        if (ReadFile(tile.Path, tile.Length) is { } bytes && bytes.Length == tile.Length) return bytes;
        if (!tile.IsFull && ReadFile(tile.Full.Path, tile.Full.Length) is { } full && full.Length == tile.Full.Length) return full[..tile.Length];
        return null;
    }

    ReadOnlyMemory<byte> Kept(Tile tile, ReadOnlyMemory<byte> bytes)
    {
        if (bytes.Length == tile.Length) Save(tile.Path, bytes);
        return bytes;
    }

    ReadOnlyMemory<byte>? ReadFile(string name, int most)
    {
        try
        {
            using var file = new FileStream(PathOf(name), FileMode.Open, FileAccess.Read, FileShare.Read);
            if (file.Length > most) return null;
            var bytes = new byte[file.Length];
            file.ReadExactly(bytes);
            return bytes;
        }
        catch (Exception absent) when (absent is FileNotFoundException or DirectoryNotFoundException)
        {
            return null;
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new LogUnavailable("log-unreadable", $"{name} in {folder} cannot be read: {failure.Message}");
        }
    }

    void Save(string name, ReadOnlyMemory<byte> bytes)
    {
        try
        {
            var path = PathOf(name);
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            // Under its name only once it is whole: a half file would be taken for the tile next time.
            File.WriteAllBytes(path + ".new", bytes.ToArray());
            File.Move(path + ".new", path, overwrite: true);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new LogUnavailable("log-unsaved", $"{name} cannot be saved in {folder}: {failure.Message}");
        }
    }

    string PathOf(string name) => Path.Combine(folder, name.Replace('/', Path.DirectorySeparatorChar));
}
