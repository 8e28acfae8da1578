using System.Buffers;
using System.Text;

namespace Custody.Transparency;

/// <summary>Texts: plain runs copied, escapes resolved, surrogates only in pairs.</summary>
ref partial struct JsonReader
{
    static readonly SearchValues<byte> StringStops = SearchValues.Create([.. Enumerable.Range(0, 0x20).Select(c => (byte)c), (byte)'"', (byte)'\\']);

    string Text()
    {
        at++;
        var stop = text[at..].IndexOfAny(StringStops);
        if (stop >= 0 && text[at + stop] == '"') // the usual case: no escapes
        {
            var plain = Encoding.UTF8.GetString(text.Slice(at, stop));
            at += stop + 1;
            return plain;
        }
        var built = new StringBuilder();
        while (Piece(built)) { }
        return built.ToString();
    }

    // One run of plain characters and the escape after it; false at the closing quotation mark.
    bool Piece(StringBuilder built)
    {
        var stop = text[at..].IndexOfAny(StringStops);
        if (stop < 0)
        {
            at = text.Length;
            throw Bad("json.truncated", "The JSON text ends inside a text.");
        }
        built.Append(Encoding.UTF8.GetString(text.Slice(at, stop)));
        at += stop;
        switch (text[at])
        {
            case (byte)'"':
                at++;
                return false;
            case (byte)'\\':
                Escape(built);
                return true;
            default:
                throw Bad("json.control", "A control character inside a text must be escaped.");
        }
    }

    void Escape(StringBuilder built)
    {
        at++;
        var c = Peek();
        var known = "\"\\/bfnrt"u8.IndexOf(c);
        if (known >= 0)
        {
            built.Append("\"\\/\b\f\n\r\t"[known]);
            at++;
            return;
        }
        if (c != 'u') throw Bad("json.escape", "This escape does not exist in JSON.");
        at++;
        var unit = (char)Hex4();
        built.Append(unit);
        if (!char.IsSurrogate(unit)) return;
        // A high half must be followed at once by an escaped low half; UTF-8 itself was checked, so a raw one cannot follow.
        if (char.IsLowSurrogate(unit) || !text[at..].StartsWith("\\u"u8)) throw Lone();
        at += 2;
        var low = (char)Hex4();
        if (!char.IsLowSurrogate(low)) throw Lone();
        built.Append(low);
    }

    readonly Malformed Lone() => Bad("json.lone-surrogate", "An escaped surrogate stands without its other half.");

    int Hex4()
    {
        if (text.Length - at < 4) throw new Malformed("json.truncated", "The JSON text ends inside an escape.", text.Length);
        var value = 0;
        for (var i = 0; i < 4; i++, at++)
        {
            if (!char.IsAsciiHexDigit((char)text[at])) throw Bad("json.escape", "Four hexadecimal digits were expected here.");
            value = (value << 4) | HexValue(text[at]);
        }
        return value;
    }

    static int HexValue(byte digit) => char.IsAsciiDigit((char)digit) ? digit - '0' : (digit | 0x20) - 'a' + 10;
}
