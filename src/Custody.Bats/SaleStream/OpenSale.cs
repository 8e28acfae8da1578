namespace Custody.Bats;

/// <summary>The sale begins: its first lot comes up.</summary>
public sealed record OpenSale : SaleCommand
{
    public override IReadOnlyList<Fact<Sale>> Produce(Sale state, Introductions people) => [new SaleOpened()];
}

/// <summary>The sale has begun; its terms no longer change.</summary>
public sealed record SaleOpened : SaleFact
{
    protected override IReadOnlyList<SaleEventStanding> From => [SaleEventStanding.Announced];

    public override Sale Apply(Sale state, Entry entry) => state with { Standing = SaleEventStanding.Open };
}

/// <summary>The last lot has come up.</summary>
public sealed record CloseSale : SaleCommand
{
    public override IReadOnlyList<Fact<Sale>> Produce(Sale state, Introductions people) => [new SaleClosed()];
}

/// <summary>The sale is over.</summary>
public sealed record SaleClosed : SaleFact
{
    protected override IReadOnlyList<SaleEventStanding> From => [SaleEventStanding.Open];

    public override Sale Apply(Sale state, Entry entry) => state with { Standing = SaleEventStanding.Closed };
}
