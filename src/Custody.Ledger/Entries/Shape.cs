using System.Collections.Concurrent;
using System.Reflection;
using System.Text.Json;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>How the objects of one C# type stand in an entry: made once per type from the constructor, then used on every append.
/// Invokers instead of compiled expressions, so that it runs where no code can be generated.</summary>
sealed class Shape
{
    static readonly ConcurrentDictionary<Type, Shape> Known = new();

    readonly ConstructorInvoker construct;
    readonly MethodInvoker? setParties;
    readonly Field[] open; // ordinal order of names, as they are written
    readonly Field[] withheld;
    readonly int parameters;

    internal static Shape Of(Type type) => Known.TryGetValue(type, out var shape) ? shape : Known.GetOrAdd(type, new Shape(type));

    internal static string MemberName(string name) => JsonNamingPolicy.CamelCase.ConvertName(name);

    Shape(Type type)
    {
        Name = type.Name;
        var members = Shapes.Of(type);
        construct = ConstructorInvoker.Create(type.GetConstructors().Single(c => c.GetParameters().Length == members.Count));
        parameters = members.Count;
        List<Field> fields = [.. members.Select((member, i) => new Field(member, i))];
        if (type.IsAssignableTo(typeof(Fact)))
        {
            var parties = type.GetProperty(nameof(Fact.Parties))!;
            fields.Add(new Field(parties, parameters));
            setParties = MethodInvoker.Create(parties.SetMethod!);
        }
        open = [.. fields.Where(f => !f.IsWithheld).OrderBy(f => f.Name, StringComparer.Ordinal)];
        withheld = [.. fields.Where(f => f.IsWithheld).OrderBy(f => f.Name, StringComparer.Ordinal)];
        if (fields.Find(f => !EntryText.IsName(f.Name)) is { } wrong)
            throw new InvalidOperationException($"{type.Name}: \"{wrong.Name}\" is not a member name.");
    }

    /// <summary>Name of the C# type; unique among shapes, and no part of any entry.</summary>
    internal string Name { get; }

    internal IReadOnlyList<Field> Open => open;

    internal IReadOnlyList<Field> Withheld => withheld;

    /// <summary>The object: <c>_sd</c> first where the shape withholds anything, then its open members by name.</summary>
    internal Json.Obj Write(object part, Sealing sealing, string pointer)
    {
        List<Json.Member> members = new(open.Length + 1);
        if (withheld.Length > 0) members.Add(new Json.Member("_sd", Digests(part, sealing, pointer)));
        foreach (var field in open)
        {
            if (field.Value(part) is { } value)
            {
                if (field.Kind.Write(value, sealing, pointer + "/" + field.Name) is { } json) members.Add(new Json.Member(field.Name, json));
            }
            else if (!field.MayBeNull)
            {
                throw FieldKind.Expected(pointer + "/" + field.Name, field.Kind.Words);
            }
        }
        return new Json.Obj(members);
    }

    Json.Arr Digests(object part, Sealing sealing, string pointer)
    {
        var digests = new string[withheld.Length];
        for (var i = 0; i < digests.Length; i++)
        {
            var value = withheld[i].Value(part) is IWithheld kept ? withheld[i].Kind.Write(kept.Value, sealing, pointer) : null;
            digests[i] = value is null ? sealing.Decoy() : sealing.Keep(pointer, withheld[i].Name, value);
        }
        Array.Sort(digests, StringComparer.Ordinal);
        return new Json.Arr(Array.ConvertAll(digests, d => (Json)d));
    }

    /// <summary>The object read back, with the values that were shown.</summary>
    /// <exception cref="Malformed">Unknown or missing members, another number of digests, a value that is not of its kind.</exception>
    internal object Read(Json.Obj obj, Opening opening, string pointer)
    {
        var values = new object?[parameters + 1];
        var seen = ReadDigests(obj, opening, pointer, values) ? 1 : 0;
        foreach (var field in open)
        {
            if (obj[field.Name] is { } json)
            {
                values[field.Place] = field.Kind.Read(json, opening, pointer + "/" + field.Name);
                seen++;
            }
            else if (!field.MayBeNull)
            {
                values[field.Place] = field.Kind.WhenLeftOut()
                    ?? throw new Malformed("entry.member-missing", $"{pointer}: the member \"{field.Name}\" is missing.");
            }
        }
        if (seen != obj.Members.Count) throw new Malformed("entry.member-unknown", $"{pointer}: {Unknown(obj)} does not belong here.");
        return Construct(values);
    }

    object Construct(object?[] values)
    {
        var part = construct.Invoke(values.AsSpan(0, parameters));
        if (values[parameters] is { } parties) setParties!.Invoke(part, parties);
        return part;
    }

    string Unknown(Json.Obj obj) =>
        $"\"{obj.Members.First(m => m.Name != "_sd" && Array.TrueForAll(open, f => f.Name != m.Name)).Name}\"";

    bool ReadDigests(Json.Obj obj, Opening opening, string pointer, object?[] values)
    {
        if (obj["_sd"] is not Json.Arr digests)
        {
            return withheld.Length == 0 ? false
                : throw new Malformed("entry.digests", $"{pointer}: {withheld.Length} digests are expected here, none are there.");
        }
        if (digests.Items.Count != withheld.Length)
            throw new Malformed("entry.digests", $"{pointer}: {withheld.Length} digests are expected here, {digests.Items.Count} are there.");
        foreach (var digest in digests.Items)
            if (opening.Meet(((Json.Str)digest).Value, pointer) is { } shown) Show(shown, opening, pointer, values);
        return true;
    }

    void Show(DisclosedValue shown, Opening opening, string pointer, object?[] values)
    {
        var field = Array.Find(withheld, f => f.Name == shown.Name)
            ?? throw new Malformed("entry.disclosure-name", $"{pointer}: a disclosure names \"{shown.Name}\", which is not a withheld field here.");
        if (values[field.Place] is not null) throw new Malformed("entry.disclosure-name", $"{pointer}: \"{shown.Name}\" is shown twice.");
        values[field.Place] = field.Keep(field.Kind.Read(shown.Value, opening, $"{pointer}/{shown.Name}"));
    }
}

/// <summary>One member of a shape.</summary>
sealed class Field
{
    readonly MethodInvoker get;
    readonly ConstructorInvoker? keep;

    internal Field(PropertyInfo property, int place)
    {
        Name = Shape.MemberName(property.Name);
        Place = place;
        get = MethodInvoker.Create(property.GetMethod!);
        var type = property.PropertyType;
        MayBeNull = Nullable.GetUnderlyingType(type) is not null
            || (!type.IsValueType && new NullabilityInfoContext().Create(property).ReadState == NullabilityState.Nullable);
        if (type.IsAssignableTo(typeof(IWithheld)))
        {
            keep = ConstructorInvoker.Create(type.GetConstructors().Single());
            type = type.GetGenericArguments()[0];
        }
        Kind = FieldKind.Of(type);
        var reason = property.GetCustomAttribute<OpenTextAttribute>()?.Reason;
        Words = reason is null ? Kind.Words : $"{Kind.Words} ({reason})";
    }

    internal string Name { get; }

    /// <summary>Place among the constructor's parameters; one past the last for a fact's parties.</summary>
    internal int Place { get; }

    internal bool MayBeNull { get; }

    internal bool IsWithheld => keep is not null;

    internal FieldKind Kind { get; }

    /// <summary>What its values are, in plain words; for an open text also why it may stand open.</summary>
    internal string Words { get; }

    internal object? Value(object part) => get.Invoke(part);

    internal object Keep(object value) => keep!.Invoke(value);
}
