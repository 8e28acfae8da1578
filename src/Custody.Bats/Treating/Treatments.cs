using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>One treatment, by the number of its entry.</summary>
/// <param name="Reported">True when it happened elsewhere or before.</param>
public sealed record Treatment(ImmutableList<TreatmentKind> Kinds, Reversible Reversible, bool Reported);

/// <summary>What was done to the bat.</summary>
public sealed record Treatments
{
    public ImmutableSortedDictionary<long, Treatment> ByEntry { get; init; } = ImmutableSortedDictionary<long, Treatment>.Empty;

    internal Treatments Add(long n, Treatment treatment) => this with { ByEntry = ByEntry.Add(n, treatment) };
}
