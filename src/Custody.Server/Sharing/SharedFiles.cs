using System.Security.Cryptography;
using System.Text;
using Custody.Server.Private;
using Custody.Server.Recording;

namespace Custody.Server.Sharing;

/// <summary>Dossiers behind links, as files outside the database. Each is encrypted under a key that comes from the keys of every value it shows and of its
/// owner: destroying any of them, as an erasure does, ends the file in every copy of it.</summary>
public sealed class SharedFiles(LedgerPlace place, KeyRing keys)
{
    const int NonceSize = 12, TagSize = 16;

    string PathOf(string name) => Path.Combine(place.Folder("shared"), name);

    /// <summary>Keeps a file.</summary>
    /// <param name="name">Lower-case letters and digits; bound into the cover, so that no file stands in another's place.</param>
    /// <returns>False when one of the keys is gone by now.</returns>
    public bool Put(string name, ReadOnlySpan<byte> bytes, IReadOnlyList<string> keyIds)
    {
        if (KeyOf(name, keyIds) is not { } key) return false;
        var covered = new byte[NonceSize + bytes.Length + TagSize];
        var nonce = covered.AsSpan(0, NonceSize);
        RandomNumberGenerator.Fill(nonce);
        using AesGcm aes = new(key, TagSize);
        aes.Encrypt(nonce, bytes, covered.AsSpan(NonceSize, bytes.Length), covered.AsSpan(NonceSize + bytes.Length), Encoding.UTF8.GetBytes(name));
        OwnerOnly.Folder(place.Folder("shared"));
        OwnerOnly.Replace(PathOf(name), covered);
        return true;
    }

    /// <summary>The file as it was put; null when it is not here, or one of its keys was destroyed.</summary>
    /// <exception cref="CryptographicException">The covered bytes changed since they were stored.</exception>
    public byte[]? Read(string name, IReadOnlyList<string> keyIds)
    {
        if (!File.Exists(PathOf(name)) || KeyOf(name, keyIds) is not { } key) return null;
        var covered = File.ReadAllBytes(PathOf(name));
        if (covered.Length < NonceSize + TagSize) throw new CryptographicException("A shared file was cut off.");
        var plain = new byte[covered.Length - NonceSize - TagSize];
        using AesGcm aes = new(key, TagSize);
        aes.Decrypt(covered.AsSpan(0, NonceSize), covered.AsSpan(NonceSize, plain.Length), covered.AsSpan(NonceSize + plain.Length), plain, Encoding.UTF8.GetBytes(name));
        return plain;
    }

    public void Delete(string name) => File.Delete(PathOf(name));

    // HKDF (RFC 5869) over the keys in one order: all of them are needed.
    byte[]? KeyOf(string name, IReadOnlyList<string> keyIds)
    {
        List<byte> material = [];
        foreach (var id in keyIds.Order(StringComparer.Ordinal))
        {
            if (keys.Find(id) is not { } key) return null;
            material.AddRange(key);
        }
        return HKDF.DeriveKey(HashAlgorithmName.SHA256, [.. material], 32, info: Encoding.UTF8.GetBytes("custody/shared/v1\n" + name));
    }
}
