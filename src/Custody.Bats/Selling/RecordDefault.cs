namespace Custody.Bats;

/// <summary>Record that the buyer did not pay.</summary>
/// <param name="Sale">Number of the <c>BatSold</c>.</param>
public sealed record RecordDefault(long Sale, string? Circumstances) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new BuyerDefaulted(Sale, Circumstances)];
}

/// <summary>The buyer did not pay and title never passed; the bat may be offered again.</summary>
public sealed record BuyerDefaulted(long Sale, Withheld<string>? Circumstances) : BatFact
{
    public override IEnumerable<long> RestsOn => [Sale];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in bat.Sales.Check(Sale, SaleStanding.Agreed)) yield return refusal;
        if (bat.Sales.ByEntry.GetValueOrDefault(Sale) is not { Standing: SaleStanding.Agreed } sale) yield break;
        if (sale.PaidInFull) yield return new("paid-already", "The price is paid in full.", "Let title pass, or cancel the sale.");
        if (!sale.IsSeller(bat, entry.Envelope.By, AuthorisedAct.Sell, entry.Envelope.Recorded))
            yield return new("not-the-seller", "Only the selling side records a default.", "Ask the house or the seller.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Sales = bat.Sales.Step(Sale, entry.N, SaleStanding.Defaulted),
        Lots = bat.Lots.Step(bat.Sales.ByEntry[Sale].Lot, entry.N, LotStanding.Defaulted),
    };
}
