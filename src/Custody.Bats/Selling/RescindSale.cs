namespace Custody.Bats;

/// <summary>Why a sale was undone after title passed.</summary>
public enum RescissionGround
{
    Agreed,
    NotAsDescribed,
    OpinionWithdrawn,
    TitleFault,
    CourtOrder,
    Other,
}

/// <summary>Undo a sale after title passed, while that buyer still holds it.</summary>
/// <param name="Sale">Number of the <c>BatSold</c>.</param>
/// <param name="OtherSide">How the side that does not record this attested it.</param>
public sealed record RescindSale(long Sale, RescissionGround Ground, Attestation OtherSide, string? Reason, string? PaperHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new SaleRescinded(Sale, Ground, OtherSide, Reason, PaperHash)];
}

/// <summary>Title as asserted is back with those who sold, in the shares they had. The bat returns by its own hand-over.</summary>
public sealed record SaleRescinded(
    long Sale, RescissionGround Ground, Attestation OtherSide, Withheld<string>? Reason, Withheld<string>? PaperHash) : BatFact
{
    public override bool MovesTitleCustodyOrHold => true;
    public override bool IsTwoSided => true;
    public override IEnumerable<long> RestsOn => [Sale];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        var sale = bat.Sales.ByEntry.GetValueOrDefault(Sale);
        if (sale is null) yield return new("no-such-sale", $"Entry {Sale} is not a sale of this bat.", "Name the entry that recorded the sale.");
        else if (sale.Standing != SaleStanding.TitlePassed)
            yield return new("title-not-passed", "Title has not passed under this sale.", "Cancel the sale instead.");
        else
            foreach (var refusal in Undoing(bat, entry, sale)) yield return refusal;
    }

    IEnumerable<Refusal> Undoing(Bat bat, Entry entry, SaleOfBat sale)
    {
        // By this very sale: a buyer who sold on and bought back holds title under a later one.
        if (!bat.Title.IsHeldBy(sale.Buyer) || bat.Title.Shares.Count != 1 || bat.Sales.ByEntry.Any(s => s.Key > Sale && s.Value.Standing == SaleStanding.TitlePassed))
            yield return new("buyer-no-longer-holds", "The buyer of this sale no longer holds title as asserted.", "Raise a claim against whoever holds it now.");
        if (bat.Sales.Agreed is { } resale)
            yield return new("already-sold", $"The buyer has sold the bat on (entry {resale.Key}).", "Cancel that sale first, or raise a claim.");
        if (!sale.IsSide(bat, entry.Envelope.By, entry.Envelope.Recorded))
            yield return new("not-a-side", "Only a side of the sale undoes it.", "Ask the seller, the house or the buyer.");
        if (Ground == RescissionGround.CourtOrder) yield break;
        if (OtherSide == Attestation.None)
            yield return new("other-side-unheard", "The other side's word is not recorded.", "Have it confirm by account, link or signed paper.");
        foreach (var refusal in bat.Holds.RefuseUnder(HoldScope.PassTitle)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry)
    {
        var sale = bat.Sales.ByEntry[Sale];
        return bat with
        {
            Title = Title.AssertedBy(sale.Sellers, entry.N),
            Sales = bat.Sales.Step(Sale, entry.N, SaleStanding.Rescinded),
            Lots = bat.Lots.Step(sale.Lot, entry.N, LotStanding.Rescinded),
            Consignments = bat.Consignments.EndedAt(entry.N),
        };
    }
}
