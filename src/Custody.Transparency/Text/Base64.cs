namespace Custody.Transparency;

/// <summary>
/// Strict reading shared by both base64 alphabets (RFC 4648): the platform's readers skip white space, accept missing or extra padding and
/// ignore spare bits, so that many texts mean the same bytes. Here exactly one does.
/// </summary>
static class Base64
{
    internal static sbyte[] Table(string alphabet)
    {
        var table = new sbyte[128];
        Array.Fill(table, (sbyte)-1);
        for (var i = 0; i < alphabet.Length; i++) table[alphabet[i]] = (sbyte)i;
        return table;
    }

    /// <summary>Reads unpadded text; false when it is not the one spelling of its bytes or does not fit.</summary>
    internal static bool TryDecode(ReadOnlySpan<char> text, sbyte[] table, Span<byte> destination, out int written)
    {
        written = 0;
        if (text.Length % 4 == 1 || Length(text.Length) > destination.Length) return false;
        uint bits = 0;
        var held = 0;
        foreach (var c in text)
        {
            if (c >= 128 || table[c] < 0) return false;
            bits = (bits << 6) | (byte)table[c];
            held += 6;
            if (held < 8) continue;
            held -= 8;
            destination[written++] = (byte)(bits >> held);
        }
        return (bits & ((1u << held) - 1)) == 0; // RFC 4648 section 3.5: spare bits must be zero
    }

    /// <summary>Bytes spelled by so many unpadded characters.</summary>
    internal static int Length(int characters) => (int)(characters * 6L / 8);
}
