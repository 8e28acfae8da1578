using System.Globalization;

namespace Custody.Transparency;

/// <summary>Numbers: the grammar of RFC 8259 section 6, then a whole number or a double.</summary>
ref partial struct JsonReader
{
    Json Number()
    {
        var start = at;
        TryTakeHere((byte)'-');
        if (!TryTakeHere((byte)'0')) Digits();
        var whole = true;
        if (TryTakeHere((byte)'.'))
        {
            whole = false;
            Digits();
        }
        if (TryTakeHere((byte)'e') || TryTakeHere((byte)'E'))
        {
            whole = false;
            if (!TryTakeHere((byte)'+')) TryTakeHere((byte)'-');
            Digits();
        }
        return Number(text[start..at], whole, start);
    }

    void Digits()
    {
        if (!char.IsAsciiDigit((char)Peek())) throw Bad("json.number", "A digit was expected here.");
        while (at < text.Length && char.IsAsciiDigit((char)text[at])) at++;
    }

    static Json Number(ReadOnlySpan<byte> spelled, bool whole, int start)
    {
        // "-0" is minus zero, which only a double can hold.
        if (whole && !spelled.SequenceEqual("-0"u8)
            && long.TryParse(spelled, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var integer)
            && integer is <= Jcs.MaxInteger and >= -Jcs.MaxInteger) return new Json.Int(integer);
        var value = double.Parse(spelled, NumberStyles.Float, CultureInfo.InvariantCulture);
        return double.IsFinite(value)
            ? new Json.Num(value)
            : throw new Malformed("json.number-range", "The number is beyond the range of a double.", start);
    }
}
