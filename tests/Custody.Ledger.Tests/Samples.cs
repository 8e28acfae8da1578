using System.Globalization;
using System.Reflection;
using Custody.Bats;
using Custody.Evidence;

namespace Custody.Ledger.Tests;

/// <summary>Facts of any event type, made up from the constructor alone: a new event type is covered the day it is written. The same
/// seed gives the same fact on every machine (own generator, no platform randomness).</summary>
sealed class Samples(ulong seed)
{
    ulong state = seed;

    public static Samples For(string name) => new(name.Aggregate(14695981039346656037UL, (h, c) => (h ^ c) * 1099511628211UL)); // FNV-1a

    /// <summary>splitmix64 (Steele, Lea and Flood 2014; from memory).</summary>
    ulong Next()
    {
        var z = state += 0x9E3779B97F4A7C15UL;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
        return z ^ (z >> 31);
    }

    public int Below(int limit) => (int)(Next() % (ulong)limit);

    public bool Chance(int oneIn) => Below(oneIn) == 0;

    public void Fill(Span<byte> bytes)
    {
        foreach (ref var b in bytes) b = (byte)Next();
    }

    /// <summary>An envelope any entry could have.</summary>
    public Envelope Envelope()
    {
        long n = 1 + (Chance(3) ? 0 : Below(500));
        var recorded = new DateTimeOffset(2024, 1, 1, 0, 0, 0, TimeSpan.Zero).AddSeconds(Below(500_000_000));
        return new("ledger.example" + (Chance(2) ? "" : "/bats"), 1 + Below(3), Stream(), n, n == 1 ? null : HashText(), recorded,
            Chance(3) ? null : Date(), Chance(5) ? null : Alias());
    }

    /// <summary>A fact with everything said (<paramref name="full"/>) or with things left out at random.</summary>
    public Fact Fact(string type, bool full)
    {
        var fact = (Fact)Part(Shapes.Find(type)!, full);
        return full || Chance(2) ? fact with { Parties = Parties(full) } : fact;
    }

    Keyed<Introduced> Parties(bool full)
    {
        Keyed<Introduced> parties = [];
        for (var i = 1 + Below(2); i > 0; i--) parties[Alias().ToString()] = (Introduced)Part(typeof(Introduced), full);
        return parties;
    }

    object Part(Type type, bool full)
    {
        var constructor = type.GetConstructors().OrderByDescending(c => c.GetParameters().Length).First();
        return constructor.Invoke([.. constructor.GetParameters().Select(p => Parameter(p, full))]);
    }

    object? Parameter(ParameterInfo parameter, bool full)
    {
        var optional = Nullable.GetUnderlyingType(parameter.ParameterType) is not null
            || (!parameter.ParameterType.IsValueType && new NullabilityInfoContext().Create(parameter).ReadState == NullabilityState.Nullable);
        return optional && !full && Chance(2) ? null : Value(parameter.ParameterType, full);
    }

    object Value(Type type, bool full)
    {
        type = Nullable.GetUnderlyingType(type) ?? type;
        if (type.IsEnum) return Enum.GetValues(type).GetValue(Below(Enum.GetValues(type).Length))!;
        if (type == typeof(string)) return Text();
        if (type == typeof(long)) return Chance(8) ? (1L << 53) - 1 : (long)Below(1000);
        if (type == typeof(int)) return Chance(8) ? int.MinValue : Below(1000);
        if (type == typeof(bool)) return Chance(2);
        if (type == typeof(Alias)) return Alias();
        if (type == typeof(Edtf)) return Date();
        if (type == typeof(StreamName)) return Stream();
        if (type == typeof(PictureHash)) return new PictureHash(HashText());
        if (type == typeof(Reference)) return new Reference(Chance(2) ? null : "elsewhere.example", Stream(), 1 + Below(99), HashText());
        if (type == typeof(Quantity)) return Quantity.Parse(Decimal(), "[in_i]");
        if (type == typeof(Money)) return Money.Parse(Below(100_000).ToString(CultureInfo.InvariantCulture) + ".50", "EUR");
        if (type.IsAssignableTo(typeof(IWithheld))) return Activator.CreateInstance(type, Value(type.GetGenericArguments()[0], full: true))!;
        if (type.IsAssignableTo(typeof(IKeyed))) return Keyed(type, full);
        return type.IsGenericType ? List(type.GetGenericArguments()[0], full) : Part(type, full);
    }

    Array List(Type element, bool full)
    {
        var list = Array.CreateInstance(element, full ? 2 : Below(4));
        for (var i = 0; i < list.Length; i++) list.SetValue(Value(element, full), i);
        return list;
    }

    object Keyed(Type type, bool full)
    {
        var keyed = (IKeyed)Activator.CreateInstance(type)!;
        for (var i = full ? 2 : Below(3); i > 0; i--) keyed.Put("f" + i, (IPart)Part(keyed.PartType, full));
        return keyed;
    }

    Alias Alias() => new(1 + Below(Chance(9) ? 999_999 : 12));

    Edtf Date() => Edtf.Parse(Pick("1952", "1952?", "1949~", "1960-21", "1955/1957", "../1961", "[1950,1951]", "195X", "2024-02-29", "1951-07-04"));

    string Decimal() => Pick("", "-") + (1 + Below(50)).ToString(CultureInfo.InvariantCulture) + Pick("", ".0", ".50", ".001");

    string Text() => Pick("plain words", "a \"quoted\" \\ word", "tab\tline\nend", "Zo\u00eb \u20ac \ud83d\ude02 \ufb33", "\u0001\u001f\u007f</script>", "");

    StreamName Stream() => StreamName.Parse(StreamName.Kinds[Below(StreamName.Kinds.Count)] + "/"
        + string.Concat(Enumerable.Range(0, 25).Select(_ => "0123456789ABCDEFGHJKMNPQRSTVWXYZ"[Below(32)])) + "048CGMRW"[Below(8)]);

    string HashText() => string.Concat(Enumerable.Range(0, 42).Select(_ => Url[Below(64)])) + Url[Below(16) * 4];

    const string Url = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

    string Pick(params string[] from) => from[Below(from.Length)];
}
