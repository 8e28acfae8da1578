using System.Security.Cryptography;
using System.Text;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.Photographs;

/// <summary>
/// Files that are withheld: encrypted, each under a key that comes from that of the party it concerns, or from one of the file's own. Destroying
/// that key destroys the file here, in every copy of the store and in every backup of it. People and entries still name a file by the SHA-256 of its
/// plain bytes; the name in the store is keyed, because a bare hash of a guessable paper would confirm it.
/// </summary>
/// <param name="inner">Keeps the covered bytes.</param>
/// <param name="purpose">Which store it is: the same file in two stores has two keys and two names.</param>
/// <param name="turns">Of the nodes that share the store; null when no other process writes to it.</param>
public sealed class CoveredStore(IPictureStore inner, KeyRing keys, string purpose, NodeTurns? turns = null)
{
    // One file may concern several parties and is then kept once for each.
    const int MostParties = 16;
    const int KeyIdLength = 26;
    const int NonceLength = 12;
    const int TagLength = 16;
    static readonly SemaphoreSlim Putting = new(1, 1);
    static readonly TimeSpan LongestTurn = TimeSpan.FromSeconds(60);
    static readonly byte[] Mark = "custody/file/v1\n"u8.ToArray();

    /// <summary>Subject of the key of a file that concerns nobody in particular.</summary>
    public static string SubjectOf(ContentHash hash) => "file/" + hash.Hex;

    /// <summary>Keeps the bytes. When this returns, the file outlives a power cut.</summary>
    /// <param name="concerns">Name of the party's stream; null for a key of the file's own.</param>
    /// <returns>Null when that party has no key here, or the file's own was destroyed: what was erased does not come back.</returns>
    /// <exception cref="InvalidOperationException">The file concerns more than 16 parties.</exception>
    public async Task<ContentHash?> Put(ReadOnlyMemory<byte> bytes, string? concerns = null, CancellationToken ct = default)
    {
        // One after the other: two who take one place at once could each write over the other's copy.
        await Putting.WaitAsync(ct);
        try
        {
            using var alone = turns is null ? null : await turns.Take("putting-" + purpose, LongestTurn, ct);
            return await PutAlone(bytes, concerns, ct);
        }
        finally
        {
            Putting.Release();
        }
    }

    async Task<ContentHash?> PutAlone(ReadOnlyMemory<byte> bytes, string? concerns, CancellationToken ct)
    {
        var hash = ContentHash.Of(bytes.Span);
        var subject = concerns ?? SubjectOf(hash);
        var id = keys.IdOf(subject);
        if ((concerns is null ? keys.KeyOf(subject) : keys.Find(id)) is not { } key) return null;
        for (var place = 0; place < MostParties; place++)
        {
            var there = await Read(hash, place, ct);
            // A place whose key is gone holds nothing that can be read; a rival may take a free one first, then the next is tried.
            if (there is not null && IdIn(there) != id && keys.Find(IdIn(there)) is not null) continue;
            if (there is not null && IdIn(there) == id && Uncover(there, hash) is not null) return hash;
            await inner.PutAs(NameOf(hash, place), Cover(bytes.Span, hash, key, id), ct);
            if (await Read(hash, place, ct) is { } kept && IdIn(kept) == id) return hash;
        }
        throw new InvalidOperationException("The file concerns more parties than it can be kept for.");
    }

    /// <summary>The file, or null when the store has none of that hash whose key still exists.</summary>
    /// <exception cref="PictureDamagedException">The covered bytes changed since they were stored.</exception>
    public async Task<byte[]?> Read(ContentHash hash, CancellationToken ct = default)
    {
        for (var place = 0; place < MostParties && await Read(hash, place, ct) is { } covered; place++)
            if (Has(covered)) return Uncover(covered, hash) ?? throw new PictureDamagedException(hash);
        return null;
    }

    /// <summary>As <see cref="Read(ContentHash, CancellationToken)"/>, as a stream.</summary>
    public async Task<Stream?> Open(ContentHash hash, CancellationToken ct = default) =>
        await Read(hash, ct) is { } bytes ? new MemoryStream(bytes, writable: false) : null;

    public async Task<bool> Has(ContentHash hash, CancellationToken ct = default) => (await Standing(hash, ct)).Readable;

    /// <summary>Whether the file was here and went with its key, for whoever looks for missing files.</summary>
    public async Task<bool> WasErased(ContentHash hash, CancellationToken ct = default) => await Standing(hash, ct) is { Readable: false, Present: true };

    async Task<(bool Present, bool Readable)> Standing(ContentHash hash, CancellationToken ct)
    {
        var present = false;
        for (var place = 0; place < MostParties && await Read(hash, place, ct) is { } covered; place++)
        {
            present = true;
            if (Has(covered)) return (true, true);
        }
        return (present, false);
    }

    // Erased is only what carries the name of a destroyed key; anything else that cannot be read is damage, or a key that was lost.
    bool Has(byte[] covered) => !keys.WasDestroyed(IdIn(covered));

    async Task<byte[]?> Read(ContentHash hash, int place, CancellationToken ct)
    {
        await using var stream = await inner.Open(NameOf(hash, place), verify: false, ct);
        if (stream is null) return null;
        using var memory = new MemoryStream();
        await stream.CopyToAsync(memory, ct);
        return memory.ToArray();
    }

    ContentHash NameOf(ContentHash hash, int place) => ContentHash.Parse(keys.DigestOf("file-name",
        Encoding.UTF8.GetBytes(string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{purpose}\n{hash.Hex}\n{place}"))));

    byte[] Cover(ReadOnlySpan<byte> plain, ContentHash hash, byte[] key, string id)
    {
        var head = Mark.Length + KeyIdLength;
        var covered = new byte[head + NonceLength + plain.Length + TagLength];
        Mark.CopyTo(covered, 0);
        Encoding.ASCII.GetBytes(id, covered.AsSpan(Mark.Length));
        var nonce = covered.AsSpan(head, NonceLength);
        RandomNumberGenerator.Fill(nonce);
        using var aes = new AesGcm(FileKey(key, hash), TagLength);
        aes.Encrypt(nonce, plain, covered.AsSpan(head + NonceLength, plain.Length), covered.AsSpan(covered.Length - TagLength), Encoding.UTF8.GetBytes(hash.Hex));
        return covered;
    }

    /// <summary>The plain bytes; null when they cannot be had from these.</summary>
    byte[]? Uncover(byte[] covered, ContentHash hash)
    {
        var head = Mark.Length + KeyIdLength;
        if (covered.Length < head + NonceLength + TagLength || IdIn(covered) is not { Length: > 0 } id || keys.Find(id) is not { } key) return null;
        var plain = new byte[covered.Length - head - NonceLength - TagLength];
        try
        {
            using var aes = new AesGcm(FileKey(key, hash), TagLength);
            aes.Decrypt(covered.AsSpan(head, NonceLength), covered.AsSpan(head + NonceLength, plain.Length), covered.AsSpan(covered.Length - TagLength), plain, Encoding.UTF8.GetBytes(hash.Hex));
        }
        catch (AuthenticationTagMismatchException)
        {
            return null; // the caller says that the file is damaged, or writes it again
        }
        return ContentHash.Of(plain) == hash ? plain : null;
    }

    byte[] FileKey(byte[] subjectKey, ContentHash hash) =>
        HKDF.DeriveKey(HashAlgorithmName.SHA256, subjectKey, 32, info: Encoding.UTF8.GetBytes($"custody/file/v1\n{purpose}\n{hash.Hex}"));

    /// <summary>Name of the key it is covered with; empty when the head is damaged. Checked, because it goes on to name a file.</summary>
    static string IdIn(byte[] covered) =>
        covered.AsSpan().StartsWith(Mark) && covered.Length >= Mark.Length + KeyIdLength
            && Encoding.ASCII.GetString(covered, Mark.Length, KeyIdLength) is var id && Crockford.IsWritten(id) ? id : "";
}
