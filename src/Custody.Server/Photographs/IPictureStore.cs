namespace Custody.Server.Photographs;

/// <summary>
/// Keeps files under the SHA-256 of their bytes. Putting the same bytes twice keeps one copy, so a repeated upload needs no
/// clean-up and no lock. A store is not trusted to give back what it was given: readers verify unless they say not to.
/// </summary>
public interface IPictureStore
{
    /// <summary>Keeps the bytes and returns their name. When this returns, the file outlives a power cut.</summary>
    Task<ContentHash> Put(ReadOnlyMemory<byte> bytes, CancellationToken ct = default);

    /// <summary>Keeps bytes under a name that is not their hash, in place of what stood there: for files that are covered. They are opened unverified.</summary>
    Task PutAs(ContentHash name, ReadOnlyMemory<byte> bytes, CancellationToken ct = default);

    /// <summary>Opens a file to read from its start, or returns null if the store has none of that name.
    /// Verified streams throw <see cref="PictureDamagedException"/> at their end if the bytes are not the ones asked for.</summary>
    Task<Stream?> Open(ContentHash hash, bool verify = true, CancellationToken ct = default);

    Task<bool> Has(ContentHash hash, CancellationToken ct = default);
}

/// <summary>A stored file whose bytes no longer have the hash it is kept under.</summary>
public sealed class PictureDamagedException(ContentHash hash)
  : IOException($"The stored file {hash} no longer has the bytes it was stored with. Take it back from a backup.")
{
    public ContentHash Hash { get; } = hash;
}

public static class PictureStoreReading
{
    /// <summary>The whole file in memory, verified; null if there is none.</summary>
    /// <exception cref="PictureDamagedException">The bytes changed since they were stored.</exception>
    public static async Task<byte[]?> Read(this IPictureStore store, ContentHash hash, CancellationToken ct = default)
    {
        await using var stream = await store.Open(hash, verify: true, ct);
        if (stream is null) return null;
        using var memory = new MemoryStream();
        await stream.CopyToAsync(memory, ct);
        return memory.ToArray();
    }
}

/// <summary>
/// The three places files are kept apart by who may see them: originals carry place, time and device and are withheld;
/// released copies carry nothing but the picture; documents are withheld. What is withheld is covered. One hash asked of the wrong place finds nothing.
/// </summary>
public sealed record PictureStores(CoveredStore Originals, IPictureStore Released, CoveredStore Documents);
