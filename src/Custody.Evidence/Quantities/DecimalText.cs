using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Numerics;

namespace Custody.Evidence;

/// <summary>How a number is brought to fewer places when it lies between two of them.</summary>
public enum Rounding
{
    /// <summary>To the nearest; a half goes away from zero (2.5 to 3, -2.5 to -3), as invoices are commonly rounded.</summary>
    HalfAwayFromZero,

    /// <summary>To the nearest; a half goes to the even neighbour (2.5 to 2, 3.5 to 4).</summary>
    HalfToEven,

    /// <summary>Always towards zero.</summary>
    TowardsZero,

    /// <summary>Always away from zero.</summary>
    AwayFromZero,
}

/// <summary>
/// An exact decimal number in its written form: <c>-?(0|[1-9][0-9]*)(\.[0-9]+)?</c>, no negative zero, trailing zeros kept, because "34.0"
/// says more than "34" about how it was measured. Equal when written the same; <see cref="CompareTo"/> compares the numbers.
/// </summary>
public sealed class DecimalText : IEquatable<DecimalText>, IComparable<DecimalText>
{
    /// <summary>Longest text read; no measured thing needs more.</summary>
    public const int LongestText = 64;

    readonly BigInteger unscaled;

    DecimalText(string text, BigInteger unscaled, int scale)
    {
        Text = text;
        this.unscaled = unscaled;
        Scale = scale;
    }

    /// <summary>0.</summary>
    public static DecimalText Zero { get; } = Parse("0");

    /// <summary>As written.</summary>
    public string Text { get; }

    /// <summary>Digits after the point.</summary>
    public int Scale { get; }

    /// <summary>-1, 0 or 1.</summary>
    public int Sign => unscaled.Sign;

    /// <summary>Reads a number, or says by name (<c>decimal-form</c>, <c>decimal-too-long</c>) why not.</summary>
    public static bool TryParse(string? text, [NotNullWhen(true)] out DecimalText? value, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        value = null;
        refusal = text is { Length: > LongestText }
            ? new("decimal-too-long", "The number is too long.", "Use at most 64 characters.")
            : !IsWellFormed(text)
                ? new("decimal-form", "This is not a decimal number in its plain form.", "Write digits, a point if needed, no spaces, no +, no leading zeros, no -0.")
                : null;
        if (refusal is not null)
            return false;
        var point = text!.IndexOf('.', StringComparison.Ordinal);
        var scale = point < 0 ? 0 : text.Length - point - 1;
        value = new DecimalText(text, BigInteger.Parse(text.Replace(".", "", StringComparison.Ordinal), CultureInfo.InvariantCulture), scale);
        return true;
    }

    /// <summary>Reads a number; throws <see cref="FormatException"/> where <see cref="TryParse"/> would refuse.</summary>
    public static DecimalText Parse(string text) =>
        TryParse(text, out var value, out var refusal) ? value : throw new FormatException($"{refusal.Code}: {refusal.Sentence}");

    /// <summary>Whether the text has the form of a number; of any length.</summary>
    public static bool IsWellFormed([NotNullWhen(true)] string? text)
    {
        if (string.IsNullOrEmpty(text))
            return false;
        var parts = (text[0] == '-' ? text[1..] : text).Split('.');
        if (parts.Length > 2 || parts.Any(p => p.Length == 0 || !p.All(char.IsAsciiDigit)))
            return false;
        var negativeZero = text[0] == '-' && parts.All(p => p.All(c => c == '0'));
        return (parts[0].Length == 1 || parts[0][0] != '0') && !negativeZero;
    }

    /// <summary>The exact sum, with as many places as the longer of the two.</summary>
    public static DecimalText operator +(DecimalText a, DecimalText b)
    {
        var scale = Math.Max(a.Scale, b.Scale);
        return Of(a.At(scale) + b.At(scale), scale);
    }

    /// <summary>The exact difference, with as many places as the longer of the two.</summary>
    public static DecimalText operator -(DecimalText a, DecimalText b) => a + -b;

    /// <summary>The opposite number.</summary>
    public static DecimalText operator -(DecimalText a) => Of(-a.unscaled, a.Scale);

    /// <summary>The exact product; its places are those of both added.</summary>
    public static DecimalText operator *(DecimalText a, DecimalText b) => Of(a.unscaled * b.unscaled, a.Scale + b.Scale);

    /// <summary>Smaller than.</summary>
    public static bool operator <(DecimalText a, DecimalText b) => a.CompareTo(b) < 0;

    /// <summary>Larger than.</summary>
    public static bool operator >(DecimalText a, DecimalText b) => a.CompareTo(b) > 0;

    /// <summary>Smaller or the same number.</summary>
    public static bool operator <=(DecimalText a, DecimalText b) => a.CompareTo(b) <= 0;

    /// <summary>Larger or the same number.</summary>
    public static bool operator >=(DecimalText a, DecimalText b) => a.CompareTo(b) >= 0;

    /// <summary>Written the same.</summary>
    public static bool operator ==(DecimalText? a, DecimalText? b) => a is null ? b is null : a.Equals(b);

    /// <summary>Written otherwise.</summary>
    public static bool operator !=(DecimalText? a, DecimalText? b) => !(a == b);

    /// <summary>The quotient to a stated number of places with a named rounding. The divisor is not zero.</summary>
    public DecimalText DividedBy(DecimalText divisor, int places, Rounding rounding)
    {
        if (divisor.Sign == 0)
            throw new DivideByZeroException();
        var shift = places + divisor.Scale - Scale;
        var (up, down) = shift >= 0 ? (unscaled * Power(shift), divisor.unscaled) : (unscaled, divisor.unscaled * Power(-shift));
        return Of(Divide(up, down, rounding), places);
    }

    /// <summary>This number to a stated number of places with a named rounding; shorter numbers are filled up with zeros.</summary>
    public DecimalText Round(int places, Rounding rounding) =>
        Of(places >= Scale ? At(places) : Divide(unscaled, Power(Scale - places), rounding), places);

    /// <summary>The exact number without trailing zeros after the point.</summary>
    public DecimalText Reduced()
    {
        var (number, scale) = (unscaled, Scale);
        for (; scale > 0 && number % 10 == 0; scale--)
            number /= 10;
        return Of(number, scale);
    }

    /// <summary>The nearest binary floating point number, for computations whose results are rounded far more coarsely.</summary>
    public double ToDouble() => double.Parse(Text, NumberStyles.Float, CultureInfo.InvariantCulture);

    /// <summary>Compares the numbers: 34 and 34.0 compare as 0 though they are not equal.</summary>
    public int CompareTo(DecimalText? other)
    {
        if (other is null)
            return 1;
        var scale = Math.Max(Scale, other.Scale);
        return At(scale).CompareTo(other.At(scale));
    }

    /// <inheritdoc/>
    public bool Equals(DecimalText? other) => other is not null && string.Equals(Text, other.Text, StringComparison.Ordinal);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as DecimalText);

    /// <inheritdoc/>
    public override int GetHashCode() => StringComparer.Ordinal.GetHashCode(Text);

    /// <summary>As written.</summary>
    public override string ToString() => Text;

    /// <summary>A whole number over a power of ten: Of(325, 1) is 32.5.</summary>
    public static DecimalText Of(BigInteger unscaled, int scale)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(scale);
        var digits = BigInteger.Abs(unscaled).ToString(CultureInfo.InvariantCulture).PadLeft(scale + 1, '0');
        var text = scale == 0 ? digits : digits[..^scale] + "." + digits[^scale..];
        return new DecimalText(unscaled.Sign < 0 ? "-" + text : text, unscaled, scale);
    }

    /// <summary>A computed number rounded to few places, half away from zero, far more coarsely than the last bits that differ between machines.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not a finite number, or too large to have those places.</exception>
    public static DecimalText Computed(double value, int places)
    {
        var scaled = Math.Round(value * Math.Pow(10, places), MidpointRounding.AwayFromZero);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(double.IsFinite(scaled) ? Math.Abs(scaled) : double.MaxValue, 1e15, nameof(value));
        return Of(new BigInteger(scaled), places);
    }

    BigInteger At(int scale) => unscaled * Power(scale - Scale);

    static BigInteger Power(int exponent) => BigInteger.Pow(10, exponent);

    static BigInteger Divide(BigInteger up, BigInteger down, Rounding rounding)
    {
        var quotient = BigInteger.DivRem(up, down, out var rest);
        if (rest.IsZero)
            return quotient;
        var half = (BigInteger.Abs(rest) * 2).CompareTo(BigInteger.Abs(down));
        var away = rounding switch
        {
            Rounding.TowardsZero => false,
            Rounding.AwayFromZero => true,
            Rounding.HalfToEven => half > 0 || (half == 0 && !quotient.IsEven),
            _ => half >= 0,
        };
        return away ? quotient + up.Sign * down.Sign : quotient;
    }
}
