using Custody.Evidence;

namespace Custody.Bats.Tests;

/// <summary>Invented people, a sale and a consigned bat: where most stories of the trade begin.</summary>
static class Trade
{
    public static readonly PartyId Owner = Story<Bat>.Party('a');
    public static readonly PartyId House = Story<Bat>.Party('b');
    public static readonly PartyId Buyer = Story<Bat>.Party('c');
    public static readonly PartyId Stranger = Story<Bat>.Party('d');
    public static readonly PartyId SecondBuyer = Story<Bat>.Party('e');

    public static SaleTerms Terms(TitlePassing passes = TitlePassing.OnFullPayment) => new(
        SaleForm.Saleroom, Edtf.Parse("2024-05-04"), passes, PricePublication.Published, PremiumRule.Marginal,
        [new(Quantity.Parse("25", "%"), null), new(Quantity.Parse("20", "%"), Money.Parse("100000.00", "USD"))], 30, "Spring sale", "the saleroom",
        "the law of the saleroom", "conditions", null);

    public static Entry Sale(TitlePassing passes = TitlePassing.OnFullPayment) =>
        new Story<Sale>("sale").Given(new AnnounceSale(Terms(passes)) { By = House }).Entries[0];

    public static RegisterBat Registered(PartyId? owner = null) => new(
        "2024-0001-X", Arrival.BroughtIn, Owner, House, AssertionBasis.HouseRecord, [new(owner ?? Owner, Fraction.Whole)],
        AssertionBasis.HoldersWord, "a bat", null, null)
    { By = House };

    public static ConsignBat Consigned(PartyId? by = null, PartyId? consignor = null, Attestation attestation = Attestation.SignedPaper,
        params Interest[] interests) => new(
        consignor ?? Owner, House, attestation, interests, Money.Parse("5000.00", "USD"), Quantity.Parse("10", "%"), "terms", null)
        { By = by ?? House };

    public static OfferLot Offered(Entry sale, PartyId? by = null, PartyId? house = null, string number = "12A", long[]? grounds = null,
        params Interest[] interests) => new(
        sale.Reference, number, 1, house ?? House, interests, grounds, "A bat", "It was used.", null, null, null)
        { By = by ?? house ?? House };

    public static SellBat Hammered(Entry sale, long lot, PartyId? by = null, TitlePassing passes = TitlePassing.OnFullPayment,
        SaleChannel channel = SaleChannel.Lot) => new(
        channel, lot, sale.Reference, House, Buyer, passes, Money.Parse("8000.00", "USD"), Money.Parse("2000.00", "USD"), null,
        Money.Parse("10000.00", "USD"), "the law of the saleroom", "118", null, null)
        { By = by ?? House };

    public static SellBat Privately(PartyId seller, PartyId buyer, TitlePassing passes = TitlePassing.OnSale) => new(
        SaleChannel.PrivateTreaty, null, null, seller, buyer, passes, Money.Parse("8000.00", "USD"), null, null, null, null, null, null, null)
    { By = seller };

    public static RecordPayment Paid(long sale, PaymentKind kind = PaymentKind.InFull, PartyId? by = null) =>
        new(sale, kind, null, Money.Parse("10000.00", "USD"), "transfer") { By = by ?? House };

    /// <summary>1 registered, 2 consigned.</summary>
    public static Story<Bat> AtTheHouse(Entry sale) => new Story<Bat>().Citing(sale).Given(Registered(), Consigned());

    /// <summary>1 registered, 2 consigned, 3 offered, 4 sold.</summary>
    public static Story<Bat> Sold(Entry sale, TitlePassing passes = TitlePassing.OnFullPayment) =>
        AtTheHouse(sale).Given(Offered(sale), Hammered(sale, 3, passes: passes));

    /// <summary>1 registered, 2 consigned, 3 offered, 4 sold, 5 paid, 6 title passed.</summary>
    public static Story<Bat> TitlePassed(Entry sale) => Sold(sale).Given(Paid(4), new PassTitle(4) { By = House });
}
