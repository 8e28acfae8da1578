namespace Custody.Bats;

/// <summary>Why a sale was called off.</summary>
public enum CallOffGround
{
    TooFewLots,
    Authority,
    Emergency,
    HouseDecision,
    Other,
}

/// <summary>Call a sale off, before it begins or while it runs. What was sold by then stays sold; each lot's end stands on its bat.</summary>
public sealed record CallOffSale(CallOffGround Ground, string? Reason) : SaleCommand
{
    public override IReadOnlyList<Fact<Sale>> Produce(Sale state, Introductions people) => [new SaleCalledOff(Ground, Reason)];
}

/// <summary>The sale will not go on.</summary>
public sealed record SaleCalledOff(CallOffGround Ground, Withheld<string>? Reason) : SaleFact
{
    protected override IReadOnlyList<SaleEventStanding> From => [SaleEventStanding.Announced, SaleEventStanding.Open];

    public override Sale Apply(Sale state, Entry entry) => state with { Standing = SaleEventStanding.CalledOff };
}
