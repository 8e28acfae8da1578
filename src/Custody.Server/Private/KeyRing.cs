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

    /// <summary>Salts of a repeated request: the same key and request give the same bytes, nobody else can tell them.</summary>
    public Action<Span<byte>> SaltsFor(string idempotencyKey, byte[] request)
    {
        var counter = 0L;
        var seed = HMACSHA256.HashData(secret, (byte[])[.. "custody/salts/v1\n"u8, .. Encoding.UTF8.GetBytes(idempotencyKey), (byte)10, .. request]);
        return span =>
        {
            while (!span.IsEmpty)
            {
                var block = HMACSHA256.HashData(seed, BitConverter.GetBytes(counter++));
                var length = Math.Min(span.Length, block.Length);
                block.AsSpan(0, length).CopyTo(span);
                span = span[length..];
            }
        };
    }

    string PathOf(string id) => Path.Combine(folder, id);

    string Gone(string id) => Path.Combine(folder, id + ".destroyed");
}
