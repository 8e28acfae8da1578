using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>Recorded dates and lists of where the bat could have been, each with the entry that took its place.</summary>
public sealed record Datings
{
    /// <summary>Numbers of <c>DatingRecorded</c>; the value is the entry that replaced it.</summary>
    public ImmutableSortedDictionary<long, long?> ByEntry { get; init; } = ImmutableSortedDictionary<long, long?>.Empty;

    /// <summary>Numbers of <c>WhereaboutsListed</c>; likewise.</summary>
    public ImmutableSortedDictionary<long, long?> Lists { get; init; } = ImmutableSortedDictionary<long, long?>.Empty;

    internal Datings Add(long n, IEnumerable<long> replaced) => this with { ByEntry = After(ByEntry, n, replaced) };

    internal Datings List(long n, long? replaced) => this with { Lists = After(Lists, n, replaced is { } old ? [old] : []) };

    static ImmutableSortedDictionary<long, long?> After(ImmutableSortedDictionary<long, long?> all, long n, IEnumerable<long> replaced) =>
        replaced.Aggregate(all.Add(n, null), (known, old) => known.SetItem(old, n));

    /// <summary>True while it counts: not void, and not replaced by an entry that stands.</summary>
    public static bool Counts(Bat bat, ImmutableSortedDictionary<long, long?> known, long n) =>
        known.TryGetValue(n, out var by) && !bat.Corrections.IsVoid(n) && !bat.Corrections.Stands(by);

    internal static Refusal? Refuse(Bat bat, IEnumerable<long> dated) => Refuse(bat, bat.Datings.ByEntry, dated, "dating");

    internal static Refusal? RefuseList(Bat bat, long? list) => Refuse(bat, bat.Datings.Lists, list is { } n ? [n] : [], "list-of-places");

    static Refusal? Refuse(Bat bat, ImmutableSortedDictionary<long, long?> known, IEnumerable<long> named, string what)
    {
        var numbers = named.ToList();
        return Grounds.Refuse(bat, known, numbers, what)
            ?? (numbers.Exists(n => !Counts(bat, known, n)) ? new("replaced-already", "One of these entries was replaced by a later one.", "Replace the later one.") : null);
    }
}
