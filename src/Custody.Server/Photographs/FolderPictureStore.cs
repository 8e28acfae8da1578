namespace Custody.Server.Photographs;

/// <summary>
/// Files in a folder: `ab/cd/abcd...`, two levels so that no folder holds more than a few hundred names per million files.
/// A file appears under its name only when every byte is on disk: written beside, flushed, then renamed. A crash leaves at most a
/// file in `incoming`, which a later start sweeps. Several nodes may share the folder.
/// </summary>
public sealed class FolderPictureStore : IPictureStore
{
    readonly string root;
    readonly string incoming;

    // No upload takes a day: what is older was left by a crash, and what is younger may be another node's in this moment.
    static readonly TimeSpan LeftByACrash = TimeSpan.FromDays(1);

    /// <param name="root">The folder; made if missing.</param>
    public FolderPictureStore(string root)
    {
        this.root = Path.GetFullPath(root);
        incoming = Path.Combine(this.root, "incoming");
        DurableFolder.Create(incoming);
    }

    /// <summary>Where a file is or would be.</summary>
    public string PathOf(ContentHash hash) => Path.Combine(root, hash.Hex[..2], hash.Hex[2..4], hash.Hex);

    /// <summary>Removes what a crash left half written a day ago or longer.</summary>
    public void SweepIncoming()
    {
        var before = DateTime.UtcNow - LeftByACrash;
        foreach (var file in Directory.EnumerateFiles(incoming).Where(f => File.GetLastWriteTimeUtc(f) < before)) File.Delete(file);
    }

    public async Task<ContentHash> Put(ReadOnlyMemory<byte> bytes, CancellationToken ct = default)
    {
        var hash = ContentHash.Of(bytes.Span);
        // A copy that rotted on disk is replaced by the good one at hand.
        if (!await HoldsGoodCopy(hash, ct)) await Write(PathOf(hash), bytes, ct);
        return hash;
    }

    public Task PutAs(ContentHash name, ReadOnlyMemory<byte> bytes, CancellationToken ct = default) => Write(PathOf(name), bytes, ct);

    public Task<Stream?> Open(ContentHash hash, bool verify = true, CancellationToken ct = default)
    {
        if (!File.Exists(PathOf(hash))) return Task.FromResult<Stream?>(null);
        Stream file = new FileStream(PathOf(hash), FileMode.Open, FileAccess.Read, FileShare.Read | FileShare.Delete, 65536, useAsync: true);
        return Task.FromResult<Stream?>(verify ? new VerifyingStream(file, hash) : file);
    }

    public Task<bool> Has(ContentHash hash, CancellationToken ct = default) => Task.FromResult(File.Exists(PathOf(hash)));

    async Task<bool> HoldsGoodCopy(ContentHash hash, CancellationToken ct)
    {
        await using var stream = await Open(hash, verify: false, ct);
        return stream is not null && ContentHash.FromDigest(await System.Security.Cryptography.SHA256.HashDataAsync(stream, ct)) == hash;
    }

    async Task Write(string path, ReadOnlyMemory<byte> bytes, CancellationToken ct)
    {
        var folder = Path.GetDirectoryName(path)!;
        DurableFolder.Create(folder);
        var temporary = Path.Combine(incoming, Guid.NewGuid().ToString("N"));
        try
        {
            await using (var file = new FileStream(temporary, FileMode.CreateNew, FileAccess.Write, FileShare.None, 65536, useAsync: true))
            {
                await file.WriteAsync(bytes, ct);
                await file.FlushAsync(ct);
                file.Flush(flushToDisk: true);
            }
            // Rename within one file system replaces in one step: a rival writer of the same bytes is harmless.
            File.Move(temporary, path, overwrite: true);
            DurableFolder.Flush(folder);
        }
        finally
        {
            File.Delete(temporary);
        }
    }
}
