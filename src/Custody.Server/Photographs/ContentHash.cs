using System.Security.Cryptography;

namespace Custody.Server.Photographs;

/// <summary>The SHA-256 (FIPS 180-4) of a file's bytes: its only name in a store.</summary>
public readonly record struct ContentHash
{
    ContentHash(string hex) => Hex = hex;

    /// <summary>64 lower-case hexadecimal digits: file names. Base64 would make names that differ by case only, which
    /// some file systems cannot hold apart.</summary>
    public string Hex { get; }

    /// <summary>43 characters of base64url without padding: the spelling inside entries.</summary>
    public string Base64Url => System.Buffers.Text.Base64Url.EncodeToString(Convert.FromHexString(Hex));

    public static ContentHash Of(ReadOnlySpan<byte> bytes) => new(Convert.ToHexStringLower(SHA256.HashData(bytes)));

    /// <summary>Reads a finished 32-byte digest.</summary>
    /// <exception cref="ArgumentException">Not 32 bytes.</exception>
    public static ContentHash FromDigest(ReadOnlySpan<byte> digest) => digest.Length == SHA256.HashSizeInBytes
      ? new(Convert.ToHexStringLower(digest))
      : throw new ArgumentException("A SHA-256 has 32 bytes.", nameof(digest));

    /// <summary>Reads 64 hexadecimal digits, lower case only, so that one file has one spelling.</summary>
    /// <exception cref="FormatException">Anything else, a path among them: nothing else ever becomes a file name.</exception>
    public static ContentHash Parse(string hex) => hex.Length == 64 && hex.All(char.IsAsciiHexDigitLower)
      ? new(hex)
      : throw new FormatException("A content hash is 64 lower-case hexadecimal digits.");

    public override string ToString() => Hex;
}
