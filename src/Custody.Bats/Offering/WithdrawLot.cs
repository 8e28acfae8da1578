using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Why a lot was taken out of a sale.</summary>
public enum WithdrawalGround
{
    ConsignorAsked,
    HouseDecision,
    TitleQuestioned,
    OpinionChanged,
    ConditionChanged,
    HoldPlaced,
    SaleCalledOff,
    OfferedByMistake,
    Other,
}

/// <summary>Take a lot out of a sale before it is sold.</summary>
/// <param name="Announced">When bidders were told, if they were.</param>
public sealed record WithdrawLot(long Lot, WithdrawalGround Ground, Edtf? Announced, string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new LotWithdrawn(Lot, Ground, Announced, Reason)];
}

/// <summary>The lot is no longer open to bids. No hold stops a withdrawal.</summary>
public sealed record LotWithdrawn(long Lot, WithdrawalGround Ground, Edtf? Announced, Withheld<string>? Reason) : BatFact
{
    public override IEnumerable<long> Settles => [Lot];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) => OpenLot.Check(bat, entry, Lot);

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with { Lots = bat.Lots.Step(Lot, entry.N, LotStanding.Withdrawn) };
}
