namespace Custody.Bats;

/// <summary>Let title pass to the buyer, once the sale's own terms are met.</summary>
/// <param name="Sale">Number of the <c>BatSold</c>.</param>
public sealed record PassTitle(long Sale) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new TitlePassed(Sale)];
}

/// <summary>Title as asserted is now the buyer's. Custody moves by its own hand-over.</summary>
public sealed record TitlePassed(long Sale) : BatFact
{
    public override bool MovesTitleCustodyOrHold => true;
    public override IEnumerable<long> RestsOn => [Sale];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in bat.Sales.Check(Sale, SaleStanding.Agreed)) yield return refusal;
        if (bat.Sales.ByEntry.GetValueOrDefault(Sale) is not { Standing: SaleStanding.Agreed } sale) yield break;
        if (bat.Title.Standing != TitleStanding.Asserted || !bat.Title.Shares.SequenceEqual(sale.Sellers))
            yield return new("title-moved", "Title as asserted is no longer as it was when the bat was sold.", "Settle title first, or cancel the sale.");
        if (Unmet(bat, sale) is { } unmet) yield return unmet;
        if (!sale.IsSeller(bat, entry.Envelope.By, AuthorisedAct.PassTitle, entry.Envelope.Recorded))
            yield return new("not-the-seller", "Only the selling side lets title pass.", "Ask the house or the seller.");
        foreach (var refusal in bat.Holds.RefuseUnder(HoldScope.PassTitle)) yield return refusal;
    }

    static Refusal? Unmet(Bat bat, SaleOfBat sale)
    {
        var paid = sale.PaidInFull || sale.TitlePasses is TitlePassing.OnSale or TitlePassing.OnDelivery;
        var delivered = bat.Keeping.Custodian == sale.Buyer || sale.TitlePasses is TitlePassing.OnSale or TitlePassing.OnFullPayment;
        return (paid, delivered) switch
        {
            (false, _) => new("not-paid", "Under this sale title passes on full payment, and none is recorded.", "Record the payment in full first."),
            (_, false) => new("not-delivered", "Under this sale title passes on delivery, and the buyer does not have the bat.", "Record the hand-over first."),
            _ => null,
        };
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Title = Title.AssertedBy([KeyValuePair.Create(bat.Sales.ByEntry[Sale].Buyer, Fraction.Whole)], entry.N),
        Sales = bat.Sales.Step(Sale, entry.N, SaleStanding.TitlePassed),
        Consignments = bat.Consignments.EndedAt(entry.N),
    };
}
