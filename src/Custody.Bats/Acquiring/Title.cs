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

    public static Title AssertedBy(IEnumerable<TitleShare> shares, long since) =>
        AssertedBy(shares.Select(s => KeyValuePair.Create(s.Holder, s.Share)), since);

    public bool IsHeldBy(Alias alias) => Shares.ContainsKey(alias);

    /// <summary>Holders who would have less than now if the shares became these.</summary>
    public IEnumerable<Alias> Losing(IReadOnlyList<TitleShare> next) =>
        Shares.Where(now => !next.Any(n => n.Holder == now.Key && !n.Share.IsLessThan(now.Value))).Select(now => now.Key);

    /// <summary>True when the shares are these already.</summary>
    public bool IsAlready(IReadOnlyList<TitleShare> next) =>
        Standing == TitleStanding.Asserted && next.Count == Shares.Count && !Losing(next).Any();
}
