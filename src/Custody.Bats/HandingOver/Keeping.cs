using System.Collections.Immutable;
using System.Text.Json.Serialization;
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
public sealed record Handover(Alias From, Alias To, HandoverPurpose Purpose, Edtf? Due, HandoverStanding Standing)
{
    public Alias? Carrier { get; init; }

    /// <summary>How the giving side attested it.</summary>
    public Attestation Given { get; init; }

    /// <summary>How the taking side attested it; null until received.</summary>
    public Attestation? Taken { get; init; }

    /// <summary>Who alone can receive it now: the named recipient, or the one who released it once it was refused or recalled.</summary>
    [JsonIgnore]
    public Alias Bound => Standing is HandoverStanding.Refused or HandoverStanding.Recalled ? From : To;
}

/// <summary>Custody: who keeps the bat now. At most one custodian, or in transit (rule 1); both null means not known.</summary>
/// <param name="Custodian">Null while in transit or not known.</param>
/// <param name="InTransit">Number of the <c>BatReleased</c> not yet answered.</param>
/// <param name="Since">Number of the entry that last moved custody.</param>
public sealed record Keeping(Alias? Custodian = null, long? InTransit = null, long Since = 0)
{
    public ImmutableSortedDictionary<long, Handover> Handovers { get; init; } = ImmutableSortedDictionary<long, Handover>.Empty;

    [JsonIgnore]
    public bool IsKnown => Custodian is not null || InTransit is not null;

    /// <summary>The bat is with this one (null: not known). A hand-over still open ends with that standing.</summary>
    internal Keeping EndingTransit(Alias? custodian, HandoverStanding standing, long entry) => this with
    {
        Custodian = custodian,
        InTransit = null,
        Since = entry,
        Handovers = InTransit is { } n ? Handovers.SetItem(n, Handovers[n] with { Standing = standing }) : Handovers,
    };

    /// <summary>The bat turned up with this one (null: not known), whatever was recorded before; a hand-over still open was
    /// misdelivered.</summary>
    internal Keeping FoundWith(Alias? custodian, long entry) => EndingTransit(custodian, HandoverStanding.Misdelivered, entry);

    /// <summary>The open hand-over changes its standing and the bat is on its way back.</summary>
    internal Keeping TurnedBack(HandoverStanding standing, long entry) => this with
    {
        Since = entry,
        Handovers = Handovers.SetItem(InTransit!.Value, Handovers[InTransit.Value] with { Standing = standing }),
    };
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
