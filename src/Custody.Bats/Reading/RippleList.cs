namespace Custody.Bats;

/// <summary>One entry that would be touched.</summary>
/// <param name="Through">What it rests on directly, of what falls.</param>
/// <param name="IsOpenWork">It waits already to be confirmed, restated or withdrawn.</param>
public sealed record Rippled(long Entry, string Type, IReadOnlyList<long> Through, EntryStanding Standing, bool IsOpenWork);

/// <summary>If one source, treatment or examination falls: every opinion, lot text and label that rests on it, directly or through others.</summary>
public sealed record RippleList(long Of, string Type, EntryStanding Standing, IReadOnlyList<Rippled> Rests)
{
    /// <exception cref="ArgumentOutOfRangeException">There is no such entry.</exception>
    internal static RippleList Read(Reading reading, long n)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(n, reading.State.N);
        var corrections = reading.State.Corrections;
        var dependents = corrections.Dependents(n);
        HashSet<long> falling = [n, .. dependents];
        return new RippleList(
            n, reading[n].Fact.TypeName, Standings.Of(reading, n),
            [.. dependents.Select(d => new Rippled(
                d, reading[d].Fact.TypeName, [.. reading.Raw(d).Fact.RestsOn.Where(falling.Contains).Distinct().Order()], Standings.Of(reading, d),
                corrections.Open.Any(item => item.Entry == d)))]);
    }
}
