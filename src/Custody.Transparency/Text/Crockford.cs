namespace Custody.Transparency;

/// <summary>
/// 128 bits as 26 characters of Crockford's Base32 (crockford.com/base32.html): bits from the left in groups of five, two zero bits appended.
/// The writer uses upper case only; the reader also takes lower case, I and L for 1, O for 0, and hyphens anywhere, as people type them.
/// </summary>
public static class Crockford
{
    /// <summary>Characters of a written identifier.</summary>
    public const int Length = 26;

    const string Alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

    /// <summary>The 26 characters of 16 bytes.</summary>
    /// <exception cref="ArgumentException">Not 16 bytes.</exception>
    public static string Encode(ReadOnlySpan<byte> bits128)
    {
        if (bits128.Length != 16) throw new ArgumentException("Exactly 16 bytes are written.", nameof(bits128));
        Span<char> text = stackalloc char[Length];
        for (var i = 0; i < Length; i++) text[i] = Alphabet[Group(bits128, i * 5)];
        return new string(text);
    }

    // Five bits from the given bit on; bits beyond the last byte are zero.
    static int Group(ReadOnlySpan<byte> bytes, int bit)
    {
        var at = bit / 8;
        var pair = (bytes[at] << 8) | (at + 1 < bytes.Length ? bytes[at + 1] : 0);
        return (pair >> (11 - (bit % 8))) & 31;
    }

    /// <summary>The 16 bytes a person typed or a camera read.</summary>
    /// <exception cref="Malformed"><c>crockford</c>: not 26 characters, a foreign one (U among them), or appended bits that are not zero.</exception>
    public static byte[] Decode(ReadOnlySpan<char> text) => TryDecode(text, out var bytes)
        ? bytes
        : throw new Malformed("crockford", "The text is not 26 characters of Crockford Base32 ending in two zero bits.");

    /// <summary>As <see cref="Decode"/>, or false.</summary>
    public static bool TryDecode(ReadOnlySpan<char> text, out byte[] bytes)
    {
        bytes = new byte[16];
        var read = 0;
        uint bits = 0;
        var held = 0;
        foreach (var c in text)
        {
            if (c == '-') continue;
            var value = Value(c);
            if (value < 0 || ++read > Length) return false;
            bits = (bits << 5) | (uint)value;
            held += 5;
            if (held < 8) continue;
            held -= 8;
            bytes[(read * 5 / 8) - 1] = (byte)(bits >> held);
        }
        return read == Length && (bits & 3) == 0;
    }

    /// <summary>The written form of what a person typed.</summary>
    /// <exception cref="Malformed">As <see cref="Decode"/>.</exception>
    public static string Normalise(ReadOnlySpan<char> text) => Encode(Decode(text));

    /// <summary>Whether the text is exactly what the writer writes.</summary>
    public static bool IsWritten(ReadOnlySpan<char> text) => TryDecode(text, out var bytes) && text.SequenceEqual(Encode(bytes));

    static int Value(char c) => char.ToUpperInvariant(c) switch
    {
        'I' or 'L' when char.IsAscii(c) => 1,
        'O' when char.IsAscii(c) => 0,
        var upper when char.IsAscii(c) => Alphabet.IndexOf(upper, StringComparison.Ordinal),
        _ => -1,
    };
}
