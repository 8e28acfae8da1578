using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>What befell the bat.</summary>
public enum IncidentKind
{
    Dropped,
    Broken,
    Fire,
    Water,
    Insects,
    Mould,
    Handling,
    Vandalism,
    Theft,
    Loss,
    Other,
}

/// <summary>How bad it is, as far as can be told.</summary>
public enum IncidentExtent
{
    NotKnown,
    None,
    Slight,
    Serious,
    Total,
}

/// <summary>One incident, by the number of its <c>IncidentReported</c>.</summary>
/// <param name="Settlements">Numbers of the <c>InsurerSettled</c> entries for it.</param>
public sealed record Incident(IncidentKind Kind, IncidentExtent Extent, ImmutableSortedSet<long> Settlements);

/// <summary>Damage and loss.</summary>
public sealed record Incidents
{
    public ImmutableSortedDictionary<long, Incident> ByEntry { get; init; } = ImmutableSortedDictionary<long, Incident>.Empty;
}
