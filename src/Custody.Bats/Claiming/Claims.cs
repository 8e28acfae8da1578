using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace Custody.Bats;

/// <summary>What somebody claims.</summary>
public enum ClaimKind
{
    Title,
    Possession,
    Lien,
    Rescission,
    Payment,
    Damage,
    Other,
}

/// <summary>One claim, by the number of its <c>ClaimRaised</c>.</summary>
/// <param name="ResolvedBy">Number of the <c>ClaimResolved</c>; null while open.</param>
public sealed record Claim(ClaimKind Kind, Alias Claimant, long? ResolvedBy);

/// <summary>How a bat is missing.</summary>
public enum MissingKind
{
    Lost,
    Stolen,
    NotReturned,
    NotArrived,
}

/// <summary>One report that the bat is missing, by the number of its <c>ReportedMissing</c>.</summary>
/// <param name="RecoveredBy">Number of the <c>Recovered</c>; null while missing.</param>
public sealed record Missing(MissingKind Kind, Alias? By, long? RecoveredBy);

/// <summary>Claims on the bat, and reports that it is missing.</summary>
public sealed record Claims
{
    public ImmutableSortedDictionary<long, Claim> ByEntry { get; init; } = ImmutableSortedDictionary<long, Claim>.Empty;

    public ImmutableSortedDictionary<long, Missing> MissingByEntry { get; init; } = ImmutableSortedDictionary<long, Missing>.Empty;

    [JsonIgnore]
    public IEnumerable<long> OpenClaims => ByEntry.Where(c => c.Value.ResolvedBy is null).Select(c => c.Key);

    [JsonIgnore]
    public IEnumerable<long> OpenMissing => MissingByEntry.Where(m => m.Value.RecoveredBy is null).Select(m => m.Key);

    [JsonIgnore]
    public bool DisputeTitle => ByEntry.Values.Any(c => c is { Kind: ClaimKind.Title, ResolvedBy: null });
}
