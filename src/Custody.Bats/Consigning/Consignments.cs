using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace Custody.Bats;

/// <summary>One consignment, by the number of its <c>BatConsigned</c>. Title stays with the consignor.</summary>
/// <param name="Holders">Everyone who held a share of the title then: the consignment was made for all of them and for nobody else.</param>
/// <param name="EndedBy">Number of the entry that ended it; null while it is open.</param>
public sealed record Consignment(Alias Consignor, Alias House, ImmutableSortedSet<Alias> Holders, long? EndedBy = null)
{
    [JsonIgnore]
    public bool Ended => EndedBy is not null;
}

/// <summary>Every consignment of this bat; at most one is open.</summary>
public sealed record Consignments
{
    public ImmutableSortedDictionary<long, Consignment> ByEntry { get; init; } = ImmutableSortedDictionary<long, Consignment>.Empty;

    [JsonIgnore]
    public Consignment? Open => ByEntry.Values.LastOrDefault(c => !c.Ended);

    /// <summary>The open consignment, as far as it still speaks for whoever holds the title now: once title has moved by any act, a
    /// consignment by the former holders gives the house no say.</summary>
    public Consignment? OpenFor(Title title) => Open is { } open && open.Holders.SetEquals(title.Shares.Keys) ? open : null;

    /// <summary>The open consignment goes on for these: heirs come into the consignor's place.</summary>
    internal Consignments NowFor(IEnumerable<Alias> holders) => this with
    {
        ByEntry = ByEntry.SetItems(ByEntry.Where(c => !c.Value.Ended).Select(c => KeyValuePair.Create(c.Key, c.Value with { Holders = [.. holders] }))),
    };

    /// <summary>Ends whatever is open.</summary>
    internal Consignments EndedAt(long n) => this with
    {
        ByEntry = ByEntry.SetItems(ByEntry.Where(c => !c.Value.Ended).Select(c => KeyValuePair.Create(c.Key, c.Value with { EndedBy = n }))),
    };

    /// <summary>As if entry <paramref name="n"/> had not happened.</summary>
    internal Consignments Without(long n) => this with
    {
        ByEntry = ByEntry.Remove(n).SetItems(
            ByEntry.Where(c => c.Key != n && c.Value.EndedBy == n).Select(c => KeyValuePair.Create(c.Key, c.Value with { EndedBy = null }))),
    };
}
