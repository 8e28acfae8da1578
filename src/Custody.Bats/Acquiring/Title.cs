using System.Collections.Immutable;

namespace Custody.Bats;

public enum TitleStanding
{
    Unknown,
    Asserted,
    Disputed,
}

/// <summary>Title as asserted: who is said to own the bat, in what shares. Never proven here; disputes belong to local law.</summary>
/// <param name="Since">Number of the entry that last moved it; 0 while nothing has been asserted.</param>
public sealed record Title(TitleStanding Standing, ImmutableSortedDictionary<Alias, Fraction> Shares, long Since)
{
    public static readonly Title Unknown = new(TitleStanding.Unknown, ImmutableSortedDictionary<Alias, Fraction>.Empty, 0);

    public static Title AssertedBy(IEnumerable<KeyValuePair<Alias, Fraction>> shares, long since) =>
        new(TitleStanding.Asserted, shares.ToImmutableSortedDictionary(), since);

    public bool IsHeldBy(Alias alias) => Shares.ContainsKey(alias);
}
