using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>The way a bat was sold.</summary>
public enum SaleChannel
{
    Lot,
    AfterSale,
    PrivateTreaty,
    Exchange,
}

/// <summary>Record that a bat was sold. Title does not move by this: <c>TitlePassed</c> does that, when the terms say so.</summary>
/// <param name="Lot">Number of the lot's entry; for a lot and an after-sale only.</param>
/// <param name="Terms">Entry of the sale's stream with the terms in force at the hammer; for a lot and an after-sale only.</param>
/// <param name="Hammer">Hammer price, or the price agreed. It belongs to the whole lot, however many bats it holds.</param>
/// <param name="Total">What the buyer owes for the lot, with premium, fees and tax.</param>
/// <param name="GivenInExchange">What was given instead of money.</param>
public sealed record SellBat(
    SaleChannel Channel, long? Lot, Reference? Terms, PartyId SoldBy, PartyId Buyer, TitlePassing TitlePasses, Money? Hammer, Money? Premium,
    Money? Tax, Money? Total, string? GoverningLaw, string? Paddle, string? GivenInExchange, string? PaperHash) : BatCommand
{
    [System.Text.Json.Serialization.JsonIgnore]
    public override IReadOnlyList<Refusal> Unfit =>
        [.. new[] { SaleAmounts.Contradiction(Hammer, Premium, Tax, Total) }.OfType<EvidenceRefusal>().Select(r => new Refusal(r.Code, r.Sentence, r.Remedy))];

    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new BatSold(
            Channel, Lot, Terms, people.Of(SoldBy, Role.Seller), people.Of(Buyer, Role.Buyer), TitlePasses, Hammer, Premium, Tax, Total,
            GoverningLaw, Paddle, GivenInExchange, PaperHash),
    ];
}

/// <summary>The bat was sold: buyer, channel and when title passes. Amounts belong to the lot and are withheld.</summary>
public sealed record BatSold(
    SaleChannel Channel, long? Lot, Reference? Terms, Alias SoldBy, Alias Buyer, TitlePassing TitlePasses,
    Withheld<Money>? Hammer, Withheld<Money>? Premium, Withheld<Money>? Tax, Withheld<Money>? Total, Withheld<string>? GoverningLaw,
    Withheld<string>? Paddle, Withheld<string>? GivenInExchange, Withheld<string>? PaperHash) : BatFact
{
    public override bool IsTwoSided => true;
    public override IEnumerable<Reference> Cites => Terms is null ? [] : [Terms];

    public override bool DecidesBy(string member) => member is nameof(Channel) or nameof(TitlePasses);

    bool InSale => Channel is SaleChannel.Lot or SaleChannel.AfterSale;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in bat.RefuseElsewhere()) yield return refusal;
        if (bat.Sales.Agreed is { } sale)
            yield return new("already-sold", $"The bat is sold (entry {sale.Key}).", "Let title pass, or cancel that sale first.");
        if (bat.Title.IsHeldBy(Buyer))
            yield return new("buyer-holds-title", "The buyer holds title as asserted already.", "Record how the shares change as an acquisition.");
        foreach (var refusal in InSale ? FromLot(bat, cited) : WithoutLot(bat)) yield return refusal;
        foreach (var refusal in Who(bat, entry)) yield return refusal;
        foreach (var refusal in bat.Holds.RefuseUnder(HoldScope.Sell)) yield return refusal;
    }

    IEnumerable<Refusal> FromLot(Bat bat, ICited cited)
    {
        if (Lot is not { } n || !bat.Lots.ByEntry.TryGetValue(n, out var lot))
        {
            yield return new("no-such-lot", "The sale does not name a lot of this bat.", "Name the entry that offered the lot.");
            yield break;
        }
        // An after-sale sells what came up and passed; the hammer sells what is open.
        if (lot.Standing != (Channel == SaleChannel.Lot ? LotStanding.Offered : LotStanding.Passed))
            yield return new("lot-not-for-sale", "The lot does not stand as this way of selling needs.", "Sell an open lot at the hammer, a passed one after the sale.");
        if (lot.House != SoldBy)
            yield return new("not-the-offerer", "Someone else offered this lot.", "Let the house that offered the lot record its sale.");
        if (Terms is null || Terms.Stream != lot.Terms.Stream || Terms.N < lot.Terms.N || cited.Find(Terms)?.Fact is not ISaleTerms terms)
            yield return new("no-such-terms", "The sale does not name the terms the lot was sold under.", "Name the terms in force of the lot's own sale.");
        else if (terms.TitlePasses != TitlePasses)
            yield return new("terms-differ", "Title passes at another moment than the sale's terms say.", "Record what the terms say.");
    }

    IEnumerable<Refusal> WithoutLot(Bat bat)
    {
        if (Lot is not null || Terms is not null)
            yield return new("lot-not-expected", "A private sale has no lot.", "Record it as sold in the lot, or leave the lot out.");
        if (bat.Lots.Open is { } open)
            yield return new("lot-open", $"The bat is offered as a lot (entry {open.Key}).", "Withdraw or pass the lot first.");
    }

    // Rule 2: only holders of asserted title, or someone with recorded authority, sell.
    IEnumerable<Refusal> Who(Bat bat, Entry entry)
    {
        var recorded = entry.Envelope.Recorded;
        if (!Mandate.Covers(bat, SoldBy, AuthorisedAct.Sell, recorded))
            yield return new("no-mandate", "Whoever sells neither holds the whole title as asserted nor acts for all who do.",
                "Have it consigned, or record the holders' authority.");
        else if (entry.Envelope.By is not { } by || !bat.Authorities.Allow(by, SoldBy, AuthorisedAct.Sell, recorded))
            yield return new("not-the-seller", "Someone else records what the seller sold.", "Let the seller record it, or record an authority.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Lots = bat.Lots.Step(Lot, entry.N, LotStanding.Sold),
        Sales = bat.Sales with
        {
            ByEntry = bat.Sales.ByEntry.Add(entry.N, new SaleOfBat(
                Channel, Lot, SoldBy, Buyer, TitlePasses, bat.Title.Shares,
                ImmutableSortedDictionary<long, SaleStanding>.Empty.Add(entry.N, SaleStanding.Agreed),
                ImmutableSortedDictionary<long, PaymentKind>.Empty)),
        },
    };
}
