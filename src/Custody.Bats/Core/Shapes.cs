using System.Collections;
using System.Collections.Concurrent;
using System.Reflection;

namespace Custody.Bats;

/// <summary>The event types by name, and the shape of each as its constructor tells it.</summary>
public static class Shapes
{
    static readonly Dictionary<string, Type> ByName = typeof(Fact).Assembly.GetTypes()
        .Where(t => t is { IsAbstract: false } && t.IsAssignableTo(typeof(Fact)))
        .ToDictionary(Fact.NameOf, StringComparer.Ordinal);

    static readonly ConcurrentDictionary<Type, PropertyInfo[]> Members = new();

    /// <summary>Every event type's name, ordinal order.</summary>
    public static IReadOnlyList<string> Names { get; } = [.. ByName.Keys.Order(StringComparer.Ordinal)];

    public static Type? Find(string name) => ByName.GetValueOrDefault(name);

    /// <summary>The members of a fact or part, in the order of its constructor's parameters.</summary>
    public static IReadOnlyList<PropertyInfo> Of(Type type) => Members.GetOrAdd(type, Read);

    static PropertyInfo[] Read(Type type) =>
        [.. type.GetConstructors().OrderByDescending(c => c.GetParameters().Length).First().GetParameters()
            .Select(p => type.GetProperty(p.Name!) ?? throw new InvalidOperationException($"{type.Name}.{p.Name} is not a property."))];

    /// <summary>Every alias that stands in an open field of this fact, its parts and lists.</summary>
    internal static IEnumerable<Alias> AliasesIn(object part)
    {
        foreach (var member in Of(part.GetType()))
            foreach (var alias in Within(member.GetValue(part)))
                yield return alias;
    }

    static IEnumerable<Alias> Within(object? value) => value switch
    {
        Alias alias => [alias],
        IKeyed keyed => keyed.Parts.SelectMany(p => AliasesIn(p.Value)),
        IPart part => AliasesIn(part),
        string => [],
        IEnumerable list => list.Cast<object>().SelectMany(Within),
        _ => [],
    };
}
