using System.Security.Cryptography;
using System.Text;
using Custody.Transparency;

namespace Custody.Server.Private;

/// <summary>Keys of the withheld values, one for each party and each bat, as files outside the database. Destroying a file erases what it
/// covered everywhere at once: tables, replicas, write-ahead log, backups of the database.</summary>
public sealed class KeyRing
{
    readonly string folder;
    readonly byte[] secret;

    /// <param name="folder">Made when missing, readable by its owner only.</param>
    /// <exception cref="UnauthorizedAccessException">Others may read it.</exception>
    public KeyRing(string folder)
    {
        this.folder = folder;
        OwnerOnly.Folder(folder);
        secret = OwnerOnly.ReadOrMake(Path.Combine(folder, "ring"), () => RandomNumberGenerator.GetBytes(32));
        // The ring's secret opens the names of all other keys; it is looked at once, they stand in the same closed folder.
        foreach (var path in new[] { Path.Combine(folder, "ring"), folder })
            if (OwnerOnly.WhyNot(path) is { } wide) throw new UnauthorizedAccessException(wide);
    }

    /// <summary>Name of a subject's key. Says nothing about the subject without the ring's secret.</summary>
    public string IdOf(string subject) => Crockford.Encode(HMACSHA256.HashData(secret, Encoding.UTF8.GetBytes(subject)).AsSpan(0, 16));

    /// <summary>The subject's key, made when it has none; null when it was destroyed.</summary>
    public byte[]? KeyOf(string subject)
    {
        var id = IdOf(subject);
        return File.Exists(Gone(id)) ? null : OwnerOnly.ReadOrMake(PathOf(id), () => RandomNumberGenerator.GetBytes(32));
    }

    /// <summary>A key by its name, or null when it was destroyed.</summary>
    public byte[]? Find(string id) => !File.Exists(Gone(id)) && File.Exists(PathOf(id)) ? File.ReadAllBytes(PathOf(id)) : null;

    /// <summary>Destroys a subject's key for good. The mark is written first: a crash in between leaves an unreadable key, never a new one.</summary>
    public void Destroy(string subject)
    {
        var id = IdOf(subject);
        OwnerOnly.ReadOrMake(Gone(id), () => "destroyed"u8.ToArray());
        File.Delete(PathOf(id));
    }

    /// <summary>A party's tag in the alias table, or null when its key was destroyed or the party was never recorded: asking makes no key.</summary>
    public byte[]? TagOf(string party) => Find(IdOf(party)) is { } key ? HMACSHA256.HashData(key, "custody/alias/v1"u8.ToArray()) : null;

    /// <summary>A word as the search index holds it: nobody without the ring's secret can tell which word it is, or make one to compare.</summary>
    public string TokenOf(string word) => Convert.ToHexStringLower(HMACSHA256.HashData(secret, Encoding.UTF8.GetBytes("custody/search/v1\n" + word)).AsSpan(0, 12));

    /// <summary>Whether the key of this name was destroyed.</summary>
    public bool WasDestroyed(string id) => File.Exists(Gone(id));

    /// <summary>A keyed digest of something private: it tells two apart, and nobody without the ring's secret can try out what it is of.</summary>
    public string DigestOf(string purpose, ReadOnlySpan<byte> bytes)
    {
        using var hmac = IncrementalHash.CreateHMAC(HashAlgorithmName.SHA256, secret);
        hmac.AppendData(Encoding.UTF8.GetBytes($"custody/{purpose}/v1\n"));
        hmac.AppendData(bytes);
        return Convert.ToHexStringLower(hmac.GetHashAndReset());
    }

    /// <summary>16 bytes for the name of what a submission begins: the same submission draws the same, nobody else can foresee it.</summary>
    public byte[] Drawn(string idempotencyKey, string purpose) =>
        Convert.FromHexString(DigestOf("drawn/" + purpose, Encoding.UTF8.GetBytes(idempotencyKey)))[..16];

    string PathOf(string id) => Path.Combine(folder, id);

    string Gone(string id) => Path.Combine(folder, id + ".destroyed");
}
