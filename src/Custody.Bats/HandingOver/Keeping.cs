using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

public enum HandoverStanding
{
    InTransit,
    Received,
    Refused,
    Recalled,
    Misdelivered,
}

/// <summary>One hand-over, by the number of its <c>BatReleased</c>.</summary>
public sealed record Handover(Alias From, Alias To, HandoverPurpose Purpose, Edtf? Due, HandoverStanding Standing);

/// <summary>Custody: who keeps the bat now. At most one custodian, or in transit (rule 1); both null means not known.</summary>
/// <param name="Custodian">Null while in transit or not known.</param>
/// <param name="InTransit">Number of the <c>BatReleased</c> not yet answered.</param>
/// <param name="Since">Number of the entry that last moved custody.</param>
public sealed record Keeping(Alias? Custodian = null, long? InTransit = null, long Since = 0)
{
    public ImmutableSortedDictionary<long, Handover> Handovers { get; init; } = ImmutableSortedDictionary<long, Handover>.Empty;
}

/// <summary>Why a bat changes hands.</summary>
public enum HandoverPurpose
{
    Sale,
    Consignment,
    Loan,
    Return,
    Treatment,
    Examination,
    Carriage,
    SafeKeeping,
    Court,
    Police,
    Insurer,
    Exhibition,
    Other,
}
