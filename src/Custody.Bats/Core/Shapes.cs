using System.Collections;
using System.Collections.Concurrent;
using System.Reflection;

namespace Custody.Bats;

/// <summary>The event types by name, and the shape of each as its constructor tells it.</summary>
public static class Shapes
{
    static readonly Dictionary<string, Type> ByName = typeof(Fact).Assembly.GetTypes()
        .Where(t => t is { IsAbstract: false } && t.IsAssignableTo(typeof(Fact)) && t != typeof(EntryGone))
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

    /// <summary>Every value of one kind that stands in an open field of this fact, its parts and lists: each alias, each picture's hash.</summary>
    public static IEnumerable<T> Open<T>(object part)
    {
        foreach (var member in Of(part.GetType()))
            foreach (var value in Within<T>(member.GetValue(part)))
                yield return value;
    }

    static IEnumerable<T> Within<T>(object? value) => value switch
    {
        T found => [found],
        IKeyed keyed => keyed.Parts.SelectMany(p => Open<T>(p.Value)),
        IPart part => Open<T>(part),
        string => [],
        IEnumerable list => list.Cast<object>().SelectMany(Within<T>),
        _ => [],
    };
}
