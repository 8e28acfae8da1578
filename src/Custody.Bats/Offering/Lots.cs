using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace Custody.Bats;

public enum LotStanding
{
    Offered,
    Passed,
    Withdrawn,
    Sold,
    Defaulted,
    Cancelled,
    Rescinded,
    Reoffered,
}

/// <summary>One lot, by the number of its <c>LotOffered</c> or <c>LotReoffered</c>. Several bats in one lot carry the same terms and number.</summary>
/// <param name="Terms">The sale, by the entry of its stream that set the terms in force when the lot was offered.</param>
/// <param name="Steps">Standing by the entry that brought it; the last one counts.</param>
public sealed record Lot(Reference Terms, string Number, Alias House, ImmutableSortedDictionary<long, LotStanding> Steps)
{
    [JsonIgnore]
    public LotStanding Standing => Steps.Values.Last();
}

/// <summary>Every lot this bat stood in.</summary>
public sealed record Lots
{
    public ImmutableSortedDictionary<long, Lot> ByEntry { get; init; } = ImmutableSortedDictionary<long, Lot>.Empty;

    /// <summary>The lot now open to bids; at most one.</summary>
    [JsonIgnore]
    public KeyValuePair<long, Lot>? Open =>
        ByEntry.Where(l => l.Value.Standing == LotStanding.Offered).Select(l => (KeyValuePair<long, Lot>?)l).LastOrDefault();

    internal Lots Begin(long n, Reference terms, string number, Alias house) => this with
    {
        ByEntry = ByEntry.Add(n, new Lot(terms, number, house, ImmutableSortedDictionary<long, LotStanding>.Empty.Add(n, LotStanding.Offered))),
    };

    /// <summary>The lot's next standing; nothing when there is no such lot.</summary>
    internal Lots Step(long? lot, long n, LotStanding standing) =>
        lot is { } at && ByEntry.TryGetValue(at, out var found)
            ? this with { ByEntry = ByEntry.SetItem(at, found with { Steps = found.Steps.SetItem(n, standing) }) }
            : this;

    /// <summary>As if entry <paramref name="n"/> had not happened.</summary>
    internal Lots Without(long n) => this with
    {
        ByEntry = ByEntry.Remove(n).SetItems(ByEntry.Where(l => l.Key != n && l.Value.Steps.ContainsKey(n))
            .Select(l => KeyValuePair.Create(l.Key, l.Value with { Steps = l.Value.Steps.Remove(n) }))),
    };
}
