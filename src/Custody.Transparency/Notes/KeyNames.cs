using System.Buffers.Binary;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Custody.Transparency;

/// <summary>Names and identifiers of note keys (c2sp.org/signed-note, "Format" and "Signatures").</summary>
static class KeyNames
{
    /// <summary>Longest name accepted, in characters.</summary>
    internal const int MaxLength = 255;

    /// <summary>Non-empty, no Unicode space, no plus, no control character, no half surrogate pair.</summary>
    internal static bool IsValid(string name)
    {
        if (name.Length is 0 or > MaxLength) return false;
        for (var i = 0; i < name.Length; i++)
        {
            if (name[i] == '+' || char.IsWhiteSpace(name[i]) || char.IsControl(name[i])) return false;
            if (!char.IsSurrogate(name[i])) continue;
            if (!char.IsSurrogatePair(name, i)) return false;
            i++;
        }
        return true;
    }

    /// <summary>Key ID = SHA-256(name || 0x0A || type || public key)[:4], read big-endian.</summary>
    internal static uint Id(string name, byte type, ReadOnlySpan<byte> publicKey) => BinaryPrimitives.ReadUInt32BigEndian(
        SHA256.HashData([.. Encoding.UTF8.GetBytes(name), (byte)'\n', type, .. publicKey]));

    /// <summary>Eight hexadecimal digits in lower case.</summary>
    internal static string Hex(uint id) => id.ToString("x8", CultureInfo.InvariantCulture);
}
