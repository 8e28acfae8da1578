using System.Buffers.Text;
using System.Globalization;

namespace Custody.Transparency;

/// <summary>
/// A double as ECMAScript writes it (RFC 8785 section 3.2.2.3; ECMA-262, Number::toString with radix 10): the shortest digits that read back
/// as the same double, laid out without exponent from 1e-6 up to below 1e21.
/// </summary>
static class EcmaNumber
{
    /// <summary>The longest is a minus, "0.00000" and 17 digits, or 17 digits with point, sign and a three-figure exponent.</summary>
    internal const int MaxLength = 32;

    /// <returns>Number of bytes written.</returns>
    internal static int Write(double value, Span<byte> destination)
    {
        if (!double.IsFinite(value)) throw new Malformed("json.number-range", "NaN and infinities have no JSON spelling.");
        if (value == 0) return Put("0"u8, destination); // minus zero too
        Span<byte> digits = stackalloc byte[MaxLength];
        var count = Shortest(Math.Abs(value), digits, out var point);
        var sign = value < 0 ? Put("-"u8, destination) : 0;
        return sign + Layout(digits[..count], point, destination[sign..]);
    }

    // Splits the platform's shortest round-trip text ("R") into digits and the place of the point: value = 0.d1d2d3... * 10^point.
    static int Shortest(double value, Span<byte> digits, out int point)
    {
        Span<byte> text = stackalloc byte[MaxLength];
        value.TryFormat(text, out var length, "R", CultureInfo.InvariantCulture);
        text = text[..length];
        var exponent = 0;
        var e = text.IndexOf((byte)'E');
        if (e >= 0)
        {
            exponent = int.Parse(text[(e + 1)..], NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture);
            text = text[..e];
        }
        var dot = text.IndexOf((byte)'.');
        point = (dot < 0 ? text.Length : dot) + exponent;
        var count = 0;
        foreach (var c in text)
            if (c != '.') digits[count++] = c;
        return Trim(digits, count, ref point);
    }

    static int Trim(Span<byte> digits, int count, ref int point)
    {
        var zeros = digits[..count].IndexOfAnyExcept((byte)'0');
        digits[zeros..count].CopyTo(digits);
        point -= zeros;
        return digits[..(count - zeros)].LastIndexOfAnyExcept((byte)'0') + 1;
    }

    // The five cases of Number::toString, k digits and n = point.
    static int Layout(ReadOnlySpan<byte> digits, int n, Span<byte> to)
    {
        var k = digits.Length;
        if (k <= n && n <= 21) // digits, then zeros
        {
            digits.CopyTo(to);
            to[k..n].Fill((byte)'0');
            return n;
        }
        if (n is > 0 and <= 21) // point among the digits
        {
            digits[..n].CopyTo(to);
            to[n] = (byte)'.';
            digits[n..].CopyTo(to[(n + 1)..]);
            return k + 1;
        }
        if (n is > -6 and <= 0) // 0.000ddd
        {
            var at = Put("0."u8, to);
            to.Slice(at, -n).Fill((byte)'0');
            digits.CopyTo(to[(at - n)..]);
            return at - n + k;
        }
        return Exponential(digits, n - 1, to);
    }

    static int Exponential(ReadOnlySpan<byte> digits, int exponent, Span<byte> to)
    {
        to[0] = digits[0];
        var at = 1;
        if (digits.Length > 1)
        {
            to[at++] = (byte)'.';
            digits[1..].CopyTo(to[at..]);
            at += digits.Length - 1;
        }
        to[at++] = (byte)'e';
        to[at++] = exponent < 0 ? (byte)'-' : (byte)'+';
        Utf8Formatter.TryFormat(Math.Abs(exponent), to[at..], out var written);
        return at + written;
    }

    static int Put(ReadOnlySpan<byte> text, Span<byte> to)
    {
        text.CopyTo(to);
        return text.Length;
    }
}
