using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Unicode;

namespace Custody.Transparency;

/// <summary>
/// The strict reader behind <see cref="Jcs.Parse"/>. Recursion is bounded by the depth limit, work by the size limit. UTF-8 is checked once
/// for the whole text, so that everything after may copy bytes without looking again.
/// </summary>
ref struct JsonReader(ReadOnlySpan<byte> text, JsonLimits limits)
{
    static readonly SearchValues<byte> StringStops = SearchValues.Create([.. Enumerable.Range(0, 0x20).Select(c => (byte)c), (byte)'"', (byte)'\\']);

    readonly ReadOnlySpan<byte> text = text;
    int at;
    int depth;

    internal Json Document()
    {
        if (text.Length > limits.MaxBytes)
            throw new Malformed("json.too-large", $"The JSON text is longer than {limits.MaxBytes} bytes.", limits.MaxBytes);
        if (text.StartsWith("\uFEFF"u8)) throw Bad("json.bom", "The JSON text begins with a byte order mark.");
        if (!Utf8.IsValid(text)) throw new Malformed("json.utf8", "The JSON text is not valid UTF-8.", FirstInvalid(text));
        Space();
        var value = Value();
        Space();
        if (at < text.Length) throw Bad("json.trailing", "Something follows the JSON value.");
        return value;
    }

    static int FirstInvalid(ReadOnlySpan<byte> text)
    {
        var at = 0;
        while (Rune.DecodeFromUtf8(text[at..], out _, out var length) == OperationStatus.Done) at += length;
        return at;
    }

    Json Value() => Peek() switch
    {
        (byte)'{' => Object(),
        (byte)'[' => Array(),
        (byte)'"' => new Json.Str(Text()),
        (byte)'t' => Literal("true"u8, new Json.Bool(true)),
        (byte)'f' => Literal("false"u8, new Json.Bool(false)),
        (byte)'n' => Literal("null"u8, Json.Null.Instance),
        (byte)'-' or (>= (byte)'0' and <= (byte)'9') => Number(),
        _ => throw Bad("json.syntax", "A JSON value was expected here."),
    };

    Json Literal(ReadOnlySpan<byte> word, Json value)
    {
        if (!text[at..].StartsWith(word)) throw Bad("json.syntax", "A JSON value was expected here.");
        at += word.Length;
        return value;
    }

    Json.Obj Object()
    {
        Enter();
        var members = new List<Json.Member>();
        if (!TryTake((byte)'}'))
        {
            do members.Add(Member());
            while (Continues((byte)'}'));
        }
        depth--;
        Json.Member[] all = [.. members];
        if (Names.FirstRepeated(all) is { } name)
            throw Bad("json.duplicate-name", $"The object ending here holds the name \"{name}\" twice.");
        return new Json.Obj(all, known: true);
    }

    Json.Member Member()
    {
        Space();
        if (Peek() != '"') throw Bad("json.syntax", "A member name was expected here.");
        var name = Text();
        Space();
        if (!TryTakeHere((byte)':')) throw Bad("json.syntax", "A colon was expected here.");
        Space();
        return new Json.Member(name, Value());
    }

    Json.Arr Array()
    {
        Enter();
        var items = new List<Json>();
        if (!TryTake((byte)']'))
        {
            do
            {
                Space();
                items.Add(Value());
            }
            while (Continues((byte)']'));
        }
        depth--;
        return new Json.Arr((IReadOnlyList<Json>)[.. items]);
    }

    void Enter()
    {
        if (++depth > limits.MaxDepth) throw Bad("json.too-deep", $"More than {limits.MaxDepth} arrays and objects are open here.");
        at++;
    }

    bool Continues(byte close)
    {
        if (TryTake(close)) return false;
        if (TryTakeHere((byte)',')) return true;
        Peek();
        throw Bad("json.syntax", "A comma or the end of the array or object was expected here.");
    }

    bool TryTake(byte c)
    {
        Space();
        return TryTakeHere(c);
    }

    bool TryTakeHere(byte c)
    {
        if (at >= text.Length || text[at] != c) return false;
        at++;
        return true;
    }

    readonly byte Peek() => at < text.Length ? text[at] : throw Bad("json.truncated", "The JSON text ends too early.");

    void Space()
    {
        while (at < text.Length && text[at] is (byte)' ' or (byte)'\t' or (byte)'\n' or (byte)'\r') at++;
    }

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

    readonly Malformed Bad(string code, string sentence) => new(code, sentence, at);
}
