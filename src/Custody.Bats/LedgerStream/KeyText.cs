using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;

namespace Custody.Bats;

/// <summary>Verifier key text, C2SP signed-note: name, plus, key id in hex, plus, base64 of type byte and public key. Only its form is
/// judged here; signatures are the business of the checks.</summary>
static class KeyText
{
    /// <summary>A key name: not empty, no space, no control character, no plus (C2SP signed-note, "Format").</summary>
    public static bool IsName(string text) => text.Length is >= 1 and <= 255 && !text.Any(c => char.IsWhiteSpace(c) || char.IsControl(c) || c == '+');

    public static string NameOf(string key) => key.Split('+', 2)[0];

    /// <summary>Key id = first 4 bytes of SHA-256 over name, line feed, type and key.</summary>
    public static bool IsWellFormed(string key) => Read(key) is { } parts && parts.Id == IdOf(parts.Name, parts.Key);

    /// <summary>Type 0x01, 32 bytes of key.</summary>
    public static bool IsEd25519(string key) => IsWellFormed(key) && Read(key) is { Key: { Length: 33 } bytes } && bytes[0] == 0x01;

    /// <summary>Base64 of what every signature line by this key begins with: its id.</summary>
    public static uint IdOf(string key) => Read(key) is { } parts ? IdOf(parts.Name, parts.Key) : 0;

    static uint IdOf(string name, byte[] key) =>
        BinaryPrimitives.ReadUInt32BigEndian(SHA256.HashData([.. Encoding.UTF8.GetBytes(name), 0x0A, .. key]));

    static (string Name, uint Id, byte[] Key)? Read(string text)
    {
        // Base64 itself may hold a plus: split into three and no more.
        var parts = text.Split('+', 3);
        if (parts.Length != 3 || !IsName(parts[0]) || parts[1].Length != 8 || !parts[1].All(char.IsAsciiHexDigitLower)) return null;
        var key = new byte[parts[2].Length];
        return Convert.TryFromBase64String(parts[2], key, out var length) && length > 1 && Convert.ToBase64String(key, 0, length) == parts[2]
            ? (parts[0], Convert.ToUInt32(parts[1], 16), key[..length])
            : null;
    }
}
