using System.Buffers;
using System.Text;
using System.Text.Unicode;

namespace Custody.Transparency;

/// <summary>
/// The strict reader behind <see cref="Jcs.Parse"/>. Recursion is bounded by the depth limit, work by the size limit. UTF-8 is checked once
/// for the whole text, so that everything after may copy bytes without looking again.
/// </summary>
ref partial struct JsonReader(ReadOnlySpan<byte> text, JsonLimits limits)
{
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

    readonly Malformed Bad(string code, string sentence) => new(code, sentence, at);
}
