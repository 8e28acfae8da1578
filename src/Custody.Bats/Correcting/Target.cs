using System.Collections;
using System.Reflection;
using System.Text.Json;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What a JSON Pointer (RFC 6901) into an entry names: the date of occurrence, or a member of the body, of a part, or of a part
/// under a key. A list is one value; a withheld member is named where it would stand if it were shown.</summary>
/// <param name="Path">Members and keys from the fact downwards; empty for <c>/occurred</c>.</param>
/// <param name="Member">The member named; null for <c>/occurred</c>.</param>
public sealed record Target(IReadOnlyList<string> Path, PropertyInfo? Member)
{
    const string Body = "/body/";

    public bool IsOccurred => Member is null;

    public bool IsWithheld => Member is { } m && m.PropertyType.IsAssignableTo(typeof(IWithheld));

    /// <summary>The fact's own member that this is or lies in.</summary>
    public string Root => Path.Count == 0 ? "" : Path[0];

    /// <summary>What the pointer names in this entry, or null when nothing can stand there.</summary>
    public static Target? Find(Fact fact, string pointer)
    {
        if (pointer == "/occurred") return new Target([], null);
        if (!pointer.StartsWith(Body, StringComparison.Ordinal)) return null;
        // Member names and keys hold letters and digits only, so there is nothing to unescape (RFC 6901 section 4).
        var path = pointer[Body.Length..].Split('/');
        object? at = fact;
        PropertyInfo? member = null;
        for (var i = 0; i < path.Length; i++)
        {
            if (at is not (Fact or IPart)) return null;
            member = Shapes.Of(at.GetType()).FirstOrDefault(m => NameOf(m) == path[i]);
            if (member is null) return null;
            at = member.GetValue(at);
            if (at is not IKeyed keyed || i == path.Length - 1) continue;
            at = keyed.Parts.FirstOrDefault(p => p.Key == path[i + 1]).Value;
            member = null;
            i++;
        }
        return member is null || !IsValue(member.PropertyType) ? null : new Target(path, member);
    }

    static string NameOf(PropertyInfo member) => JsonNamingPolicy.CamelCase.ConvertName(member.Name);

    /// <summary>Single values and lists of them; a part is corrected member by member.</summary>
    static bool IsValue(Type type) => !type.IsAssignableTo(typeof(IPart)) && !type.IsAssignableTo(typeof(IKeyed))
        && !(ElementOf(type)?.IsAssignableTo(typeof(IPart)) ?? false);

    static Type? ElementOf(Type type) =>
        type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyList<>) ? type.GetGenericArguments()[0] : null;

    /// <summary>True when the new value can stand in this open place. Aliases, entry numbers, references, shares and texts have acts of their own.</summary>
    public bool Takes(OpenValue value)
    {
        if (IsOccurred) return value is { Date: not null, Kinds: 1 } or { IsEmpty: true };
        if (value.IsEmpty) return MayBeLeftOut;
        return value.Kinds == 1 && Made(value) is not null;
    }

    bool MayBeLeftOut => ElementOf(Member!.PropertyType) is not null || Nullable.GetUnderlyingType(Member.PropertyType) is not null
        || (!Member.PropertyType.IsValueType && new NullabilityInfoContext().Create(Member).ReadState == NullabilityState.Nullable);

    /// <summary>The value as the member's own type, or null when it is not of that kind.</summary>
    object? Made(OpenValue value)
    {
        var (element, isList) = (ElementOf(Member!.PropertyType) ?? Member.PropertyType, ElementOf(Member.PropertyType) is not null);
        element = Nullable.GetUnderlyingType(element) ?? element;
        List<object> values = [.. Single(element, value)];
        if (values.Count == 0) return null;
        if (!isList) return values.Count == 1 ? values[0] : null;
        var list = Array.CreateInstance(element, values.Count);
        for (var i = 0; i < values.Count; i++) list.SetValue(values[i], i);
        return list;
    }

    static IEnumerable<object> Single(Type element, OpenValue value)
    {
        if (element == typeof(Edtf)) return value.Date is { } date ? [date] : [];
        if (element == typeof(Quantity)) return value.Quantity is { } quantity ? [quantity] : [];
        if (element == typeof(PictureHash)) return value.Photographs.Select(p => (object)p);
        // Int is a count; long is an entry's number, and an entry is not pointed elsewhere by a slip of the pen.
        if (element == typeof(int)) return value.Numbers.All(n => n is >= int.MinValue and <= int.MaxValue) ? value.Numbers.Select(n => (object)(int)n) : [];
        return element.IsEnum ? Enumerated(element, value.Words) : [];
    }

    static List<object> Enumerated(Type type, IReadOnlyList<string> words)
    {
        var known = Enum.GetNames(type).ToDictionary(JsonNamingPolicy.CamelCase.ConvertName, name => Enum.Parse(type, name), StringComparer.Ordinal);
        return words.All(known.ContainsKey) ? [.. words.Select(w => known[w])] : [];
    }

    /// <summary>The entry as it reads with this correction made.</summary>
    public Entry Applied(Entry entry, EntryCorrected correction)
    {
        if (IsOccurred) return entry with { Envelope = entry.Envelope with { Occurred = correction.NewOpen?.Date } };
        var value = IsWithheld ? correction.NewWithheldAs(Member!.PropertyType) : Made(correction.NewOpen ?? OpenValue.None) ?? Nothing();
        var fact = (Fact)With(entry.Fact, 0, value);
        return entry with { Fact = fact with { Parties = entry.Fact.Parties } };
    }

    Array? Nothing() => ElementOf(Member!.PropertyType) is { } element ? Array.CreateInstance(element, 0) : null;

    object With(object part, int depth, object? value)
    {
        var members = Shapes.Of(part.GetType());
        var values = members.Select(m => NameOf(m) != Path[depth] ? m.GetValue(part)
            : depth == Path.Count - 1 ? value
            : m.GetValue(part) switch
            {
                IKeyed keyed => WithKey(keyed, depth, value),
                { } inner => With(inner, depth + 1, value),
                null => null,
            }).ToArray();
        return part.GetType().GetConstructors().First(c => c.GetParameters().Length == members.Count)
            .Invoke(BindingFlags.DoNotWrapExceptions, null, values, null);
    }

    object WithKey(IKeyed keyed, int depth, object? value)
    {
        var copy = (IKeyed)Activator.CreateInstance(keyed.GetType())!;
        foreach (var (key, part) in keyed.Parts)
            copy.Put(key, key == Path[depth + 1] ? (IPart)With(part, depth + 2, value) : part);
        return copy;
    }
}
