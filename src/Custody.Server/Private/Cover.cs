using System.Security.Cryptography;
using System.Text;

namespace Custody.Server.Private;

/// <summary>One withheld value as the database keeps it.</summary>
public sealed record Covered(string KeyId, byte[] Nonce, byte[] Cipher);

/// <summary>AES-256-GCM over the disclosure's text; the place it belongs to is bound in, so that rows cannot be swapped.</summary>
public static class Cover
{
    const int TagSize = 16;

    public static Covered Over(byte[] key, string keyId, string place, string disclosure, ReadOnlySpan<byte> nonce12)
    {
        var plain = Encoding.UTF8.GetBytes(disclosure);
        var cipher = new byte[plain.Length + TagSize];
        using var aes = new AesGcm(key, TagSize);
        aes.Encrypt(nonce12, plain, cipher.AsSpan(0, plain.Length), cipher.AsSpan(plain.Length), Encoding.UTF8.GetBytes(place));
        return new(keyId, nonce12.ToArray(), cipher);
    }

    /// <exception cref="AuthenticationTagMismatchException">The row was changed, or stands in another row's place.</exception>
    public static string Off(byte[] key, string place, Covered covered)
    {
        var plain = new byte[covered.Cipher.Length - TagSize];
        using var aes = new AesGcm(key, TagSize);
        aes.Decrypt(covered.Nonce, covered.Cipher.AsSpan(0, plain.Length), covered.Cipher.AsSpan(plain.Length), plain, Encoding.UTF8.GetBytes(place));
        return Encoding.UTF8.GetString(plain);
    }

    public static string Place(string stream, long n, string pointer, string name) => $"{stream}\n{n}\n{pointer}\n{name}";
}
