using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Why a lot did not sell.</summary>
public enum PassedBecause
{
    NoBid,
    ReserveNotMet,
}

/// <summary>Record that a lot came up and did not sell.</summary>
public sealed record PassLot(long Lot, PassedBecause Because, Money? HighestBid) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new LotPassed(Lot, Because, HighestBid)];
}

/// <summary>The lot came up and did not sell; it may still go by after-sale or be offered again.</summary>
public sealed record LotPassed(long Lot, PassedBecause Because, Withheld<Money>? HighestBid) : BatFact
{
    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) => OpenLot.Check(bat, entry, Lot);

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with { Lots = bat.Lots.Step(Lot, entry.N, LotStanding.Passed) };
}
