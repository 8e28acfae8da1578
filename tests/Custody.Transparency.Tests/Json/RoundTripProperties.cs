using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;
using FsCheck;
using FsCheck.Fluent;

namespace Custody.Transparency.Tests;

public class RoundTripProperties
{
    // A fixed start makes a failure repeatable; the cases are many enough without a new one each day.
    static void Always<T>(Arbitrary<T> values, Func<T, bool> rule, int cases) =>
        Check.One(Config.QuickThrowOnFailure.WithMaxTest(cases).WithReplay(20310402, 9151), Prop.ForAll(values, rule));

    [Fact]
    public void Whatever_is_written_is_canonical_and_reads_back_to_the_same_bytes() => Always(JsonArbitrary.Values, value =>
    {
        var written = Jcs.Write(value);
        return Jcs.IsCanonical(written) && Jcs.Write(Jcs.Parse(written)).AsSpan().SequenceEqual(written);
    }, 2000);

    [Fact]
    public void The_platforms_reader_understands_the_same() => Always(JsonArbitrary.Values, value =>
        JsonNode.DeepEquals(JsonNode.Parse(Jcs.Write(value)), Node(value)), 2000);

    [Fact]
    public void Member_order_and_spelling_do_not_matter() => Always(JsonArbitrary.Values, value =>
    {
        var spelled = new StringBuilder();
        Spell(Reversed(value), spelled);
        return Jcs.Write(Jcs.Parse(Encoding.UTF8.GetBytes(spelled.ToString()))).AsSpan().SequenceEqual(Jcs.Write(value));
    }, 2000);

    [Fact]
    public void Every_finite_double_reads_back_as_itself() => Always(Arb.From(JsonArbitrary.Double), value =>
    {
        var text = Encoding.UTF8.GetString(Jcs.Write(new Json.Num(value)));
        return double.Parse(text, CultureInfo.InvariantCulture) == value;
    }, 20_000);

    static JsonNode? Node(Json value) => value switch
    {
        Json.Str text => JsonValue.Create(text.Value),
        Json.Int number => JsonValue.Create(number.Value),
        Json.Num number => JsonValue.Create(number.Value == 0 ? 0 : number.Value),
        Json.Bool truth => JsonValue.Create(truth.Value),
        Json.Arr array => new JsonArray([.. array.Items.Select(Node)]),
        Json.Obj obj => new JsonObject(obj.Members.Select(m => KeyValuePair.Create(m.Name, Node(m.Value)))),
        _ => null,
    };

    static Json Reversed(Json value) => value switch
    {
        Json.Arr array => new Json.Arr([.. array.Items.Select(Reversed)]),
        Json.Obj obj => new Json.Obj(obj.Members.Reverse().Select(m => new Json.Member(m.Name, Reversed(m.Value)))),
        _ => value,
    };

    // The least canonical spelling: white space everywhere, every character escaped, exponents.
    static void Spell(Json value, StringBuilder to)
    {
        to.Append(" \t\r\n");
        switch (value)
        {
            case Json.Str text: Escape(text.Value, to); break;
            case Json.Num number: to.Append(number.Value.ToString("E16", CultureInfo.InvariantCulture)); break;
            case Json.Arr array: Sequence('[', array.Items, Spell, ']', to); break;
            case Json.Obj obj: Sequence('{', obj.Members, Member, '}', to); break;
            default: to.Append(Encoding.UTF8.GetString(Jcs.Write(value))); break;
        }
        to.Append(' ');
    }

    static void Member(Json.Member member, StringBuilder to)
    {
        Escape(member.Name, to);
        to.Append(" : ");
        Spell(member.Value, to);
    }

    static void Sequence<T>(char open, IReadOnlyList<T> items, Action<T, StringBuilder> write, char close, StringBuilder to)
    {
        to.Append(open);
        for (var i = 0; i < items.Count; i++)
        {
            if (i > 0) to.Append(" , ");
            write(items[i], to);
        }
        to.Append(close);
    }

    static void Escape(string text, StringBuilder to)
    {
        to.Append('"');
        foreach (var unit in text) to.Append(CultureInfo.InvariantCulture, $"\\u{(int)unit:X4}");
        to.Append('"');
    }
}
