namespace Custody.Bats;

/// <summary>Why a sale was called off before title passed.</summary>
public enum CancellationGround
{
    Agreed,
    BuyerWithdrew,
    SellerWithdrew,
    TitleQuestioned,
    NotAsDescribed,
    CourtOrder,
    Other,
}

/// <summary>Call a sale off before title has passed.</summary>
/// <param name="Sale">Number of the <c>BatSold</c>.</param>
public sealed record CancelSale(long Sale, CancellationGround Ground, string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new SaleCancelled(Sale, Ground, Reason)];
}

/// <summary>The sale does not stand and title never moved.</summary>
public sealed record SaleCancelled(long Sale, CancellationGround Ground, Withheld<string>? Reason) : BatFact
{
    public override IEnumerable<long> RestsOn => [Sale];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in bat.Sales.Check(Sale, SaleStanding.Agreed)) yield return refusal;
        if (bat.Sales.ByEntry.GetValueOrDefault(Sale) is { Standing: SaleStanding.Agreed } sale
            && !sale.IsSide(bat, entry.Envelope.By, entry.Envelope.Recorded))
            yield return new("not-a-side", "Only a side of the sale calls it off.", "Ask the seller, the house or the buyer.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Sales = bat.Sales.Step(Sale, entry.N, SaleStanding.Cancelled),
        Lots = bat.Lots.Step(bat.Sales.ByEntry[Sale].Lot, entry.N, LotStanding.Cancelled),
    };
}
