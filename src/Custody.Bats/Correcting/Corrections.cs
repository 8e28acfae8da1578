using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>Why an entry became open work: what fell (a correction, a withdrawn source, a treatment, ...) and where.</summary>
public sealed record OpenItem(long Entry, long Cause);

/// <summary>What was corrected, and what now waits to be confirmed, restated or withdrawn.</summary>
public sealed record Corrections
{
    /// <summary>Entries that did not happen here: void, or restated on another bat. They stay readable and no longer count.</summary>
    public ImmutableSortedSet<long> Voided { get; init; } = ImmutableSortedSet<long>.Empty;

    /// <summary>For every entry that others rest on: which ones. Grows with each fact's <see cref="Fact.RestsOn"/>.</summary>
    public ImmutableSortedDictionary<long, ImmutableSortedSet<long>> RestedOnBy { get; init; } =
        ImmutableSortedDictionary<long, ImmutableSortedSet<long>>.Empty;

    public ImmutableList<OpenItem> Open { get; init; } = [];

    public bool IsVoid(long n) => Voided.Contains(n);

    /// <summary>One step of the fold: settle first, then let everything that rests on a fallen entry, however far, become open work.</summary>
    internal Corrections After(long n, IEnumerable<long> restsOn, IEnumerable<long> fells, IEnumerable<long> settles)
    {
        var settled = settles.ToHashSet();
        var open = Open.RemoveAll(item => settled.Contains(item.Entry));
        foreach (var fallen in fells)
            open = open.AddRange(Dependents(fallen).Where(d => !settled.Contains(d)).Select(d => new OpenItem(d, n)));
        var rested = RestedOnBy;
        foreach (var ground in restsOn)
            rested = rested.SetItem(ground, rested.GetValueOrDefault(ground, ImmutableSortedSet<long>.Empty).Add(n));
        return this with { Open = open, RestedOnBy = rested };
    }

    /// <summary>Every entry that rests on this one, directly or through others, void ones left out: the ripple list.</summary>
    public IReadOnlyList<long> Dependents(long n)
    {
        SortedSet<long> found = [];
        Queue<long> next = new([n]);
        while (next.TryDequeue(out var ground))
            foreach (var dependent in RestedOnBy.GetValueOrDefault(ground, ImmutableSortedSet<long>.Empty))
                if (!IsVoid(dependent) && found.Add(dependent)) next.Enqueue(dependent);
        return [.. found];
    }
}
