using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>How the values of one C# type stand in an entry. One spelling for each value: what reads is what would be written.</summary>
abstract class FieldKind
{
    /// <summary>The kind in plain words, for the published table.</summary>
    internal abstract string Words { get; }

    /// <summary>The value as it is written; null when it is left out (an empty list).</summary>
    internal abstract Json? Write(object value, Sealing sealing, string pointer);

    /// <summary>The value that was written.</summary>
    /// <exception cref="Malformed">Not a spelling of such a value.</exception>
    internal abstract object Read(Json json, Opening opening, string pointer);

    /// <summary>What stands for a member that is left out, when its type does not allow null; null when it must be there.</summary>
    internal virtual object? WhenLeftOut() => null;

    /// <summary>Shapes of nested objects, for the published table.</summary>
    internal virtual Shape? Inner => null;

    internal static FieldKind Of(Type type)
    {
        type = Nullable.GetUnderlyingType(type) ?? type;
        if (type.IsEnum) return new WordKind(type);
        if (type == typeof(long)) return new IntegerKind(type, n => n);
        if (type == typeof(int)) return new IntegerKind(type, n => checked((int)n));
        if (type == typeof(bool)) return new TruthKind();
        if (type.IsAssignableTo(typeof(IKeyed))) return new KeyedKind(type);
        if (type.IsAssignableTo(typeof(IPart))) return new PartKind(Shape.Of(type));
        if (ListKind.ElementOf(type) is { } element) return new ListKind(element);
        return Texts.Concat(Objects).FirstOrDefault(k => k.Type == type).Kind
            ?? throw new InvalidOperationException($"{type.Name} has no spelling in an entry.");
    }

    static readonly (Type Type, FieldKind Kind)[] Texts =
    [
        (typeof(string), new TextKind<string>("text", t => t, _ => true)),
        (typeof(Alias), new TextKind<Alias>("alias", Alias.Parse, t => Alias.TryParse(t, out _))),
        (typeof(Edtf), new TextKind<Edtf>("date (EDTF)", Edtf.Parse, null)),
        (typeof(StreamName), new TextKind<StreamName>("stream", StreamName.Parse, t => StreamName.TryParse(t, out _))),
        (typeof(PictureHash), new TextKind<PictureHash>("photograph (SHA-256)", t => new PictureHash(t), EntryText.IsHash)),
    ];

    static readonly (Type Type, FieldKind Kind)[] Objects =
    [
        (typeof(Quantity), new QuantityKind()),
        (typeof(Money), new MoneyKind()),
        (typeof(Reference), new ReferenceKind()),
    ];

    internal static Malformed Expected(string pointer, string what) => new("entry.value", $"{pointer}: {what} is expected here.");

    internal static Malformed Bad(string pointer, string sentence) => new("entry.value", $"{pointer}: {sentence}");

    /// <summary>Two texts of an object that has nothing else.</summary>
    protected static (string First, string Second) TwoTexts(Json json, string pointer, string first, string second) =>
        json is Json.Obj { Members.Count: 2 } obj && obj[first] is Json.Str a && obj[second] is Json.Str b
            ? (a.Value, b.Value)
            : throw Expected(pointer, $"an object of \"{first}\" and \"{second}\"");

    internal static T As<T>(Json json, string pointer, string expected) where T : Json => json as T ?? throw Expected(pointer, expected);
}

/// <summary>An enumerated word, camel case.</summary>
sealed class WordKind : FieldKind
{
    readonly Dictionary<object, Json> texts = [];
    readonly Dictionary<string, object> values = new(StringComparer.Ordinal);

    internal WordKind(Type type)
    {
        foreach (var name in Enum.GetNames(type))
        {
            var word = Shape.MemberName(name);
            var value = Enum.Parse(type, name);
            texts.Add(value, word);
            values.Add(word, value);
        }
    }

    internal override string Words => string.Join(" | ", values.Keys);

    internal override Json Write(object value, Sealing sealing, string pointer) =>
        texts.GetValueOrDefault(value) ?? throw Expected(pointer, "one of the enumerated words");

    internal override object Read(Json json, Opening opening, string pointer) =>
        json is Json.Str text && values.TryGetValue(text.Value, out var value) ? value : throw Expected(pointer, $"one of the words {Words}");
}

/// <summary>A whole number within 2^53-1.</summary>
sealed class IntegerKind(Type type, Func<long, object> narrow) : FieldKind
{
    /// <summary>Whether it is a count of 32 bits; otherwise it may be an entry's number.</summary>
    internal bool IsCount => type == typeof(int);

    internal override string Words => "integer";

    internal override Json Write(object value, Sealing sealing, string pointer) =>
        new Json.Int(value is long wide ? wide : (int)value);

    internal override object Read(Json json, Opening opening, string pointer)
    {
        var value = As<Json.Int>(json, pointer, "a whole number").Value;
        if (type == typeof(int) && value is > int.MaxValue or < int.MinValue) throw Expected(pointer, "a smaller number");
        return narrow(value);
    }
}

sealed class TruthKind : FieldKind
{
    internal override string Words => "true | false";

    internal override Json Write(object value, Sealing sealing, string pointer) => (bool)value;

    internal override object Read(Json json, Opening opening, string pointer) => As<Json.Bool>(json, pointer, "true or false").Value;
}

/// <summary>A value written as one text that reads back to it.</summary>
/// <param name="fits">Whether a text is such a value; null when only <paramref name="parse"/> can tell.</param>
sealed class TextKind<T>(string words, Func<string, T> parse, Func<string, bool>? fits) : FieldKind where T : notnull
{
    internal override string Words => words;

    internal override Json Write(object value, Sealing sealing, string pointer)
    {
        var text = value.ToString()!;
        return fits?.Invoke(text) ?? true ? text : throw Expected(pointer, words);
    }

    internal override object Read(Json json, Opening opening, string pointer)
    {
        var text = As<Json.Str>(json, pointer, words).Value;
        if (fits is not null) return fits(text) ? parse(text) : throw Expected(pointer, words);
        try
        {
            return parse(text);
        }
        catch (FormatException refused)
        {
            throw Bad(pointer, refused.Message);
        }
    }
}

/// <summary>A measured value: {"unit": UCUM code, "value": decimal text with its trailing zeros}.</summary>
sealed class QuantityKind : FieldKind
{
    internal override string Words => "quantity";

    internal override Json Write(object value, Sealing sealing, string pointer)
    {
        var quantity = (Quantity)value;
        return new ObjBuilder { { "unit", quantity.Unit.Code }, { "value", quantity.Value.Text } }.Build();
    }

    internal override object Read(Json json, Opening opening, string pointer)
    {
        var (value, unit) = TwoTexts(json, pointer, "value", "unit");
        return Quantity.TryParse(value, unit, out var quantity, out var refusal) ? quantity : throw Bad(pointer, refusal.Sentence);
    }
}

/// <summary>An amount of money: {"amount": decimal text, "currency": ISO 4217 code}.</summary>
sealed class MoneyKind : FieldKind
{
    internal override string Words => "money";

    internal override Json Write(object value, Sealing sealing, string pointer)
    {
        var money = (Money)value;
        return new ObjBuilder { { "amount", money.Amount.Text }, { "currency", money.Currency.Code } }.Build();
    }

    internal override object Read(Json json, Opening opening, string pointer)
    {
        var (amount, currency) = TwoTexts(json, pointer, "amount", "currency");
        return Money.TryParse(amount, currency, out var money, out var refusal, allowNegative: true) ? money : throw Bad(pointer, refusal.Sentence);
    }
}

/// <summary>A reference to one entry: {"hash", "ledger" (absent for the same ledger), "n", "stream"}.</summary>
sealed class ReferenceKind : FieldKind
{
    internal override string Words => "reference";

    internal override Json Write(object value, Sealing sealing, string pointer)
    {
        var reference = (Reference)value;
        if (!EntryText.IsHash(reference.Hash) || reference.N < 1 || !(reference.Ledger is null || EntryText.IsOrigin(reference.Ledger)))
            throw Expected(pointer, Words);
        return new ObjBuilder { { "hash", reference.Hash } }.AddIfPresent("ledger", reference.Ledger is { } l ? new Json.Str(l) : null)
            .Add("n", reference.N).Add("stream", reference.Stream.ToString()).Build();
    }

    internal override object Read(Json json, Opening opening, string pointer) => Read(json, pointer);

    internal static Reference Read(Json json, string pointer) => TryRead(json) ?? throw Expected(pointer, "a reference");

    internal static Reference? TryRead(Json json)
    {
        if (json is not Json.Obj obj || obj["hash"] is not Json.Str hash || !EntryText.IsHash(hash.Value)
            || obj["n"] is not Json.Int { Value: >= 1 } n
            || obj["stream"] is not Json.Str text || !StreamName.TryParse(text.Value, out var stream)
            || obj.Members.Count != (obj.Has("ledger") ? 4 : 3)) return null;
        if (!obj.Has("ledger")) return new Reference(null, stream, n.Value, hash.Value);
        return obj["ledger"] is Json.Str ledger && EntryText.IsOrigin(ledger.Value) ? new Reference(ledger.Value, stream, n.Value, hash.Value) : null;
    }
}

/// <summary>A nested object of a fact.</summary>
sealed class PartKind(Shape shape) : FieldKind
{
    internal override string Words => "part";

    internal override Shape? Inner => shape;

    internal override Json Write(object value, Sealing sealing, string pointer) => shape.Write(value, sealing, pointer);

    internal override object Read(Json json, Opening opening, string pointer) =>
        shape.Read(As<Json.Obj>(json, pointer, "an object"), opening, pointer);
}

/// <summary>A list in its order; an empty one is left out, so that there is one way to say "none".</summary>
sealed class ListKind : FieldKind
{
    readonly Type element;
    readonly FieldKind kind;

    internal ListKind(Type element)
    {
        (this.element, kind) = (element, Of(element));
        if (kind.Inner is { Withheld.Count: > 0 }) throw new InvalidOperationException($"{element.Name} withholds values, so it cannot stand in a list.");
    }

    internal override string Words => $"list of {kind.Words}";

    /// <summary>What its items are.</summary>
    internal FieldKind Items => kind;

    internal override Shape? Inner => kind.Inner;

    internal static Type? ElementOf(Type type) =>
        type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyList<>) ? type.GetGenericArguments()[0] : null;

    internal override object WhenLeftOut() => Array.CreateInstance(element, 0);

    internal override Json? Write(object value, Sealing sealing, string pointer)
    {
        List<Json> items = [];
        foreach (var item in (System.Collections.IEnumerable)value)
            items.Add(kind.Write(item, sealing, pointer) ?? throw Expected(pointer, "a list without lists in it"));
        return items.Count == 0 ? null : new Json.Arr(items);
    }

    internal override object Read(Json json, Opening opening, string pointer)
    {
        var items = As<Json.Arr>(json, pointer, "a list").Items;
        if (items.Count == 0) throw Expected(pointer, "a list that is not empty");
        var list = Array.CreateInstance(element, items.Count);
        for (var i = 0; i < items.Count; i++) list.SetValue(kind.Read(items[i], opening, pointer), i);
        return list;
    }
}

/// <summary>Parts by a key local to the entry; none at all is left out.</summary>
sealed class KeyedKind(Type type) : FieldKind
{
    readonly Shape shape = Shape.Of(((IKeyed)Activator.CreateInstance(type)!).PartType);

    internal override string Words => "parts by key";

    internal override Shape? Inner => shape;

    internal override object WhenLeftOut() => Activator.CreateInstance(type)!;

    internal override Json? Write(object value, Sealing sealing, string pointer)
    {
        List<Json.Member> members = [];
        foreach (var (key, part) in ((IKeyed)value).Parts)
        {
            if (!EntryText.IsName(key)) throw Expected(pointer, "a key of letters and digits");
            members.Add(new Json.Member(key, shape.Write(part, sealing, pointer + "/" + key)));
        }
        return members.Count == 0 ? null : new Json.Obj(members);
    }

    internal override object Read(Json json, Opening opening, string pointer)
    {
        var members = As<Json.Obj>(json, pointer, "an object").Members;
        if (members.Count == 0) throw Expected(pointer, "an object that is not empty");
        var keyed = (IKeyed)Activator.CreateInstance(type)!;
        foreach (var (key, part) in members)
        {
            if (!EntryText.IsName(key)) throw Expected(pointer, "a key of letters and digits");
            keyed.Put(key, (IPart)shape.Read(As<Json.Obj>(part, pointer, "an object"), opening, pointer + "/" + key));
        }
        return keyed;
    }
}
