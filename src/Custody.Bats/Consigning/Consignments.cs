using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>One consignment, by the number of its <c>BatConsigned</c>. Title stays with the consignor.</summary>
public sealed record Consignment(Alias Consignor, Alias House, bool Ended);

/// <summary>Every consignment of this bat; at most one is open.</summary>
public sealed record Consignments
{
    public ImmutableSortedDictionary<long, Consignment> ByEntry { get; init; } = ImmutableSortedDictionary<long, Consignment>.Empty;

    public Consignment? Open => ByEntry.Values.LastOrDefault(c => !c.Ended);
}
