using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace Custody.Bats;

/// <summary>What a seal closes.</summary>
public enum SealOn
{
    Bag,
    Sleeve,
    Tube,
    Box,
    Crate,
    Cabinet,
}

/// <summary>One seal, by the number of its <c>SealApplied</c>; its own number is withheld.</summary>
/// <param name="BrokenBy">Number of the <c>SealBroken</c>; null while it is whole.</param>
public sealed record Seal(SealOn On, long? BrokenBy);

/// <summary>Physical, numbered seals on the bat's packing.</summary>
public sealed record Seals
{
    public ImmutableSortedDictionary<long, Seal> ByEntry { get; init; } = ImmutableSortedDictionary<long, Seal>.Empty;

    [JsonIgnore]
    public IEnumerable<long> Whole => ByEntry.Where(s => s.Value.BrokenBy is null).Select(s => s.Key);
}
