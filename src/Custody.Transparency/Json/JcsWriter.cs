using System.Buffers;
using System.Buffers.Text;
using System.Text;

namespace Custody.Transparency;

/// <summary>Writes canonical JSON into a pooled buffer: entries are written on the path of every append.</summary>
ref struct JcsWriter(int sizeHint)
{
    // Characters RFC 8785 section 3.2.2.2 escapes: controls, quotation mark, reverse solidus. Everything else goes out as it is.
    static readonly SearchValues<char> Escaped = SearchValues.Create([.. Enumerable.Range(0, 0x20).Select(c => (char)c), '"', '\\']);

    byte[] buffer = ArrayPool<byte>.Shared.Rent(sizeHint);
    int used;

    internal readonly ReadOnlySpan<byte> Written => buffer.AsSpan(0, used);

    internal readonly void Dispose() => ArrayPool<byte>.Shared.Return(buffer);

    internal void Value(Json value)
    {
        switch (value)
        {
            case Json.Str text: Text(text.Value); break;
            case Json.Int number: Integer(number.Value); break;
            case Json.Num number: used += EcmaNumber.Write(number.Value, Room(EcmaNumber.MaxLength)); break;
            case Json.Bool truth: Ascii(truth.Value ? "true"u8 : "false"u8); break;
            case Json.Null: Ascii("null"u8); break;
            case Json.Arr array: Array(array); break;
            case Json.Obj obj: Object(obj); break;
            default: throw new ArgumentNullException(nameof(value));
        }
    }

    void Array(Json.Arr array)
    {
        Byte((byte)'[');
        for (var i = 0; i < array.Items.Count; i++)
        {
            if (i > 0) Byte((byte)',');
            Value(array.Items[i]);
        }
        Byte((byte)']');
    }

    // RFC 8785 section 3.2.3: names sorted by their UTF-16 code units, which is what ordinal comparison of .NET strings compares.
    void Object(Json.Obj obj)
    {
        if (Sorted(obj.Span))
        {
            Members(obj.Span);
            return;
        }
        var count = obj.Span.Length;
        var sorted = ArrayPool<Json.Member>.Shared.Rent(count);
        try
        {
            obj.Span.CopyTo(sorted);
            sorted.AsSpan(0, count).Sort(static (a, b) => string.CompareOrdinal(a.Name, b.Name));
            Members(sorted.AsSpan(0, count));
        }
        finally
        {
            ArrayPool<Json.Member>.Shared.Return(sorted, clearArray: true);
        }
    }

    static bool Sorted(ReadOnlySpan<Json.Member> members)
    {
        for (var i = 1; i < members.Length; i++)
            if (string.CompareOrdinal(members[i - 1].Name, members[i].Name) > 0) return false;
        return true;
    }

    void Members(ReadOnlySpan<Json.Member> members)
    {
        Byte((byte)'{');
        for (var i = 0; i < members.Length; i++)
        {
            if (i > 0) Byte((byte)',');
            Text(members[i].Name);
            Byte((byte)':');
            Value(members[i].Value);
        }
        Byte((byte)'}');
    }

    void Integer(long value)
    {
        if (value is > Jcs.MaxInteger or < -Jcs.MaxInteger)
            throw new Malformed("json.number-range", "A whole number beyond 2^53-1 has no exact canonical spelling; write it as text.");
        Utf8Formatter.TryFormat(value, Room(20), out var written);
        used += written;
    }

    void Text(string text)
    {
        Byte((byte)'"');
        var rest = text.AsSpan();
        while (true)
        {
            var plain = rest.IndexOfAny(Escaped);
            if (plain < 0) break;
            Plain(rest[..plain]);
            Escape(rest[plain]);
            rest = rest[(plain + 1)..];
        }
        Plain(rest);
        Byte((byte)'"');
    }

    void Plain(ReadOnlySpan<char> text)
    {
        if (text.IsEmpty) return;
        var status = System.Text.Unicode.Utf8.FromUtf16(text, Room(text.Length * 3), out _, out var written, replaceInvalidSequences: false);
        if (status != OperationStatus.Done)
            throw new Malformed("json.lone-surrogate", "The text holds half of a surrogate pair, which UTF-8 cannot carry.");
        used += written;
    }

    // RFC 8785 section 3.2.2.2: the five short escapes where JSON has them, \u00xx in lower case otherwise.
    void Escape(char c)
    {
        var at = "\b\t\n\f\r\"\\".IndexOf(c, StringComparison.Ordinal);
        if (at >= 0)
        {
            Byte((byte)'\\');
            Byte("btnfr\"\\"u8[at]);
            return;
        }
        Ascii("\\u00"u8);
        Byte(c < 0x10 ? (byte)'0' : (byte)'1');
        Byte("0123456789abcdef"u8[c & 0xf]);
    }

    void Ascii(ReadOnlySpan<byte> text)
    {
        text.CopyTo(Room(text.Length));
        used += text.Length;
    }

    void Byte(byte value)
    {
        Room(1)[0] = value;
        used++;
    }

    Span<byte> Room(int needed)
    {
        if (buffer.Length - used < needed) Grow(needed);
        return buffer.AsSpan(used);
    }

    void Grow(int needed)
    {
        var larger = ArrayPool<byte>.Shared.Rent(Math.Max(checked(used + needed), (int)Math.Min(buffer.Length * 2L, System.Array.MaxLength)));
        buffer.AsSpan(0, used).CopyTo(larger);
        ArrayPool<byte>.Shared.Return(buffer);
        buffer = larger;
    }
}
