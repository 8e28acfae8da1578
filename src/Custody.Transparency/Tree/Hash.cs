using System.Buffers;
using System.Buffers.Binary;
using System.Security.Cryptography;

namespace Custody.Transparency;

/// <summary>
/// A SHA-256 value, 32 bytes. As text it is 43 characters base64url; order is the ordinal order of that text, so that sorting hashes and
/// sorting what is written on a page agree.
/// </summary>
public readonly struct Hash : IEquatable<Hash>, IComparable<Hash>
{
    /// <summary>Bytes of a hash.</summary>
    public const int Size = 32;

    static readonly SearchValues<char> LowerHex = SearchValues.Create("0123456789abcdef");

    readonly ulong a, b, c, d;

    Hash(ReadOnlySpan<byte> bytes)
    {
        a = BinaryPrimitives.ReadUInt64BigEndian(bytes);
        b = BinaryPrimitives.ReadUInt64BigEndian(bytes[8..]);
        c = BinaryPrimitives.ReadUInt64BigEndian(bytes[16..]);
        d = BinaryPrimitives.ReadUInt64BigEndian(bytes[24..]);
    }

    /// <summary>SHA-256 of these bytes.</summary>
    public static Hash Of(ReadOnlySpan<byte> data)
    {
        Span<byte> hash = stackalloc byte[Size];
        SHA256.HashData(data, hash);
        return new Hash(hash);
    }

    /// <summary>A hash already computed.</summary>
    /// <exception cref="Malformed"><c>hash</c>: not 32 bytes.</exception>
    public static Hash FromBytes(ReadOnlySpan<byte> bytes) => bytes.Length == Size ? new Hash(bytes) : throw Bad();

    /// <summary>Reads the 43 characters base64url.</summary>
    /// <exception cref="Malformed"><c>hash</c>: anything else.</exception>
    public static Hash Parse(ReadOnlySpan<char> text) => TryParse(text, out var hash) ? hash : throw Bad();

    /// <summary>Reads the 43 characters base64url, or false.</summary>
    public static bool TryParse(ReadOnlySpan<char> text, out Hash hash)
    {
        Span<byte> bytes = stackalloc byte[Size];
        var fits = text.Length == 43 && Base64Url.TryDecode(text, bytes, out _);
        hash = fits ? new Hash(bytes) : default;
        return fits;
    }

    /// <summary>Reads 44 characters of standard base64, as checkpoints and proofs carry them.</summary>
    /// <exception cref="Malformed"><c>hash</c>: anything else.</exception>
    public static Hash ParseStandard(ReadOnlySpan<char> text) =>
        text.Length == 44 && Base64Std.TryDecode(text, out var bytes) && bytes.Length == Size ? new Hash(bytes) : throw Bad();

    /// <summary>Reads 64 hexadecimal digits in lower case, as BagIt manifests here carry them.</summary>
    /// <exception cref="Malformed"><c>hash</c>: anything else.</exception>
    public static Hash ParseHex(ReadOnlySpan<char> text) =>
        text.Length == 64 && !text.ContainsAnyExcept(LowerHex) ? new Hash(Convert.FromHexString(text)) : throw Bad();

    /// <summary>43 characters base64url without padding.</summary>
    public string Text
    {
        get
        {
            Span<byte> bytes = stackalloc byte[Size];
            CopyTo(bytes);
            return Base64Url.Encode(bytes);
        }
    }

    /// <summary>44 characters of standard base64.</summary>
    public string Standard => Base64Std.Encode(ToArray());

    /// <summary>64 hexadecimal digits in lower case.</summary>
    public string Hex => Convert.ToHexStringLower(ToArray());

    /// <summary>Writes the 32 bytes.</summary>
    public void CopyTo(Span<byte> destination)
    {
        BinaryPrimitives.WriteUInt64BigEndian(destination, a);
        BinaryPrimitives.WriteUInt64BigEndian(destination[8..], b);
        BinaryPrimitives.WriteUInt64BigEndian(destination[16..], c);
        BinaryPrimitives.WriteUInt64BigEndian(destination[24..], d);
    }

    /// <summary>The 32 bytes.</summary>
    public byte[] ToArray()
    {
        var bytes = new byte[Size];
        CopyTo(bytes);
        return bytes;
    }

    /// <inheritdoc/>
    public bool Equals(Hash other) => a == other.a && b == other.b && c == other.c && d == other.d;

    /// <inheritdoc/>
    public override bool Equals(object? obj) => obj is Hash other && Equals(other);

    /// <inheritdoc/>
    public override int GetHashCode() => a.GetHashCode();

    /// <summary>Ordinal order of <see cref="Text"/>.</summary>
    public int CompareTo(Hash other) => string.CompareOrdinal(Text, other.Text);

    /// <summary>The 43 characters base64url.</summary>
    public override string ToString() => Text;

    /// <summary>Whether both are the same 32 bytes.</summary>
    public static bool operator ==(Hash left, Hash right) => left.Equals(right);

    /// <summary>Whether they differ.</summary>
    public static bool operator !=(Hash left, Hash right) => !left.Equals(right);

    static Malformed Bad() => new("hash", "The text or bytes are not one SHA-256 value.");
}
