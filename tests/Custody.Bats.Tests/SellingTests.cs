using Custody.Evidence;
using static Custody.Bats.Tests.Trade;

namespace Custody.Bats.Tests;

public class SellingTests
{
    static readonly Entry Spring = Sale();

    static PassTitle Pass(long sale = 4, PartyId? by = null) => new(sale) { By = by ?? House };

    static RescindSale Rescinded(long sale = 4, RescissionGround ground = RescissionGround.NotAsDescribed, Attestation otherSide = Attestation.SignedPaper,
        PartyId? by = null) => new(sale, ground, otherSide, "the handle was replaced", null) { By = by ?? House };

    static CancelSale Cancelled(long sale = 4, PartyId? by = null) => new(sale, CancellationGround.Agreed, null) { By = by ?? House };

    static RecordDefault Defaulted(long sale = 4, PartyId? by = null) => new(sale, null) { By = by ?? House };

    static PassLot Passed() => new(3, PassedBecause.NoBid, null) { By = House };

    [Fact]
    public void A_sale_moves_neither_title_nor_custody()
    {
        var story = Sold(Spring);
        Assert.True(story.State.Title.IsHeldBy(story.AliasOf(Owner)));
        Assert.Equal(story.AliasOf(House), story.State.Keeping.Custodian);
        Assert.Equal(LotStanding.Sold, story.State.Lots.ByEntry[3].Standing);
    }

    [Fact]
    public void Prices_are_withheld()
    {
        var sold = Assert.IsType<BatSold>(Sold(Spring).Entries[3].Fact);
        Assert.Equal(("8000.00 USD", "10000.00 USD"), (sold.Hammer?.Value.ToString(), sold.Total?.Value.ToString()));
    }

    [Fact]
    public void A_bat_is_sold_once_at_a_time() => Assert.Equal("already-sold", Sold(Spring).Refused(Privately(House, SecondBuyer)));

    [Fact]
    public void A_holder_of_title_does_not_buy_the_bat() =>
        Assert.Equal("buyer-holds-title", new Story<Bat>().Given(Registered()).Refused(Privately(Owner, Owner)));

    [Fact]
    public void The_hammer_sells_an_open_lot_and_an_after_sale_a_passed_one()
    {
        var story = AtTheHouse(Spring).Given(Offered(Spring));
        Assert.Equal("lot-not-for-sale", story.Refused(Hammered(Spring, 3, channel: SaleChannel.AfterSale)));
        story.Given(Passed());
        Assert.Equal("lot-not-for-sale", story.Refused(Hammered(Spring, 3)));
        Assert.Empty(story.When(Hammered(Spring, 3, channel: SaleChannel.AfterSale)));
    }

    [Fact]
    public void A_lot_is_sold_by_the_house_that_offered_it()
    {
        var story = AtTheHouse(Spring).Given(Offered(Spring));
        Assert.Equal("no-such-lot", story.Refused(Hammered(Spring, 2)));
        Assert.Equal("not-the-offerer", story.Refused(Hammered(Spring, 3) with { SoldBy = Owner, By = Owner }));
        Assert.Equal("not-the-seller", story.Refused(Hammered(Spring, 3, by: Stranger)));
    }

    [Fact]
    public void When_title_passes_is_what_the_sales_terms_say() =>
        Assert.Equal("terms-differ", AtTheHouse(Spring).Given(Offered(Spring)).Refused(Hammered(Spring, 3, passes: TitlePassing.OnSale)));

    [Fact]
    public void A_lot_is_sold_under_terms_of_its_own_sale_not_older_than_it_was_offered_under()
    {
        var sale = new Story<Sale>("sale").Given(
            new AnnounceSale(Terms()) { By = House }, new ChangeTerms(Terms(TitlePassing.OnDelivery)) { By = House });
        var other = new Story<Sale>("sale", 'X').Given(new AnnounceSale(Terms()) { By = House }).Entries[0];
        var story = AtTheHouse(Spring).Citing(sale.Entries[1]).Citing(other).Given(Offered(sale.Entries[1]));
        Assert.Equal("no-such-terms", story.Refused(Hammered(sale.Entries[0], 3)));
        Assert.Equal("no-such-terms", story.Refused(Hammered(other, 3)));
        Assert.Empty(story.When(Hammered(sale.Entries[1], 3, passes: TitlePassing.OnDelivery)));
    }

    [Fact]
    public void A_private_sale_has_no_lot_and_none_is_open_beside_it()
    {
        Assert.Equal("lot-not-expected", AtTheHouse(Spring).Refused(Privately(House, Buyer) with { Terms = Spring.Reference }));
        Assert.Equal("lot-open", AtTheHouse(Spring).Given(Offered(Spring)).Refused(Privately(House, Buyer)));
        Assert.Empty(AtTheHouse(Spring).When(Privately(House, Buyer) with { Channel = SaleChannel.Exchange, GivenInExchange = "another bat" }));
    }

    [Fact]
    public void Nobody_sells_without_title_or_mandate() =>
        Assert.Equal("no-mandate", new Story<Bat>().Given(Registered()).Refused(Privately(Stranger, Buyer)));

    [Fact]
    public void Title_passes_on_full_payment_when_the_terms_say_so()
    {
        var story = Sold(Spring);
        Assert.Equal("not-paid", story.Refused(Pass()));
        Assert.Equal("not-paid", story.Given(Paid(4, PaymentKind.InPart)).Refused(Pass()));
        story.Given(Paid(4), Pass());
        Assert.Equal([story.AliasOf(Buyer)], story.State.Title.Shares.Keys);
        Assert.Equal(7, story.State.Title.Since);
    }

    [Fact]
    public void Title_passes_on_the_sale_itself_when_the_terms_say_so()
    {
        var atOnce = Sale(TitlePassing.OnSale);
        Assert.Empty(Sold(atOnce, TitlePassing.OnSale).When(Pass()));
    }

    [Fact]
    public void Title_passes_on_delivery_when_the_terms_say_so()
    {
        var onDelivery = Sale(TitlePassing.OnDelivery);
        Assert.Equal("not-delivered", Sold(onDelivery, TitlePassing.OnDelivery).Refused(Pass()));
        var both = Sale(TitlePassing.OnPaymentAndDelivery);
        Assert.Equal("not-paid", Sold(both, TitlePassing.OnPaymentAndDelivery).Refused(Pass()));
        Assert.Equal("not-delivered", Sold(both, TitlePassing.OnPaymentAndDelivery).Given(Paid(4)).Refused(Pass()));
    }

    [Fact]
    public void Only_the_selling_side_lets_title_pass()
    {
        Assert.Equal("not-the-seller", Sold(Spring).Given(Paid(4)).Refused(Pass(by: Buyer)));
        Assert.Empty(Sold(Spring).Given(Paid(4)).When(Pass(by: Owner)));
        Assert.Equal("no-such-sale", Sold(Spring).Refused(Pass(3)));
        Assert.Equal("title-passed", TitlePassed(Spring).Refused(Pass()));
    }

    [Fact]
    public void A_price_is_paid_in_full_once() => Assert.Equal("paid-already", Sold(Spring).Given(Paid(4)).Refused(Paid(4, PaymentKind.InPart)));

    [Fact]
    public void Payments_are_recorded_by_a_side_and_under_a_sale()
    {
        Assert.Equal("not-a-side", Sold(Spring).Refused(Paid(4, by: Stranger)));
        Assert.Equal("no-such-sale", Sold(Spring).Refused(Paid(3)));
        Assert.Equal("sale-not-standing", Sold(Spring).Given(Cancelled()).Refused(Paid(4)));
        Assert.Empty(Sold(Spring).Given(Cancelled()).When(Paid(4, PaymentKind.Refund)));
        Assert.Empty(TitlePassed(Spring).When(Paid(4, PaymentKind.ToSeller)));
    }

    [Fact]
    public void A_buyer_who_does_not_pay_defaults_and_the_bat_may_be_offered_again()
    {
        var story = Sold(Spring).Given(Defaulted());
        Assert.Equal(LotStanding.Defaulted, story.State.Lots.ByEntry[3].Standing);
        Assert.Empty(story.When(new ReofferLot(3, Spring.Reference, "40", 1, House, null, null, null, null, null, null, null) { By = House }));
    }

    [Fact]
    public void A_buyer_who_paid_does_not_default()
    {
        Assert.Equal("paid-already", Sold(Spring).Given(Paid(4)).Refused(Defaulted()));
        Assert.Equal("not-the-seller", Sold(Spring).Refused(Defaulted(by: Buyer)));
        Assert.Equal("title-passed", TitlePassed(Spring).Refused(Defaulted()));
        Assert.Equal("no-such-sale", Sold(Spring).Refused(Defaulted(2)));
    }

    [Fact]
    public void A_sale_is_cancelled_before_title_passes_and_not_after()
    {
        Assert.Empty(Sold(Spring).When(Cancelled(by: Buyer)));
        Assert.Equal("not-a-side", Sold(Spring).Refused(Cancelled(by: Stranger)));
        Assert.Equal("title-passed", TitlePassed(Spring).Refused(Cancelled()));
        Assert.Equal("sale-not-standing", Sold(Spring).Given(Cancelled()).Refused(Cancelled()));
    }

    [Fact]
    public void A_rescission_gives_title_back_to_the_seller_and_leaves_custody_alone()
    {
        var story = TitlePassed(Spring);
        var custodian = story.State.Keeping.Custodian;
        story.Given(Rescinded());
        Assert.Equal([story.AliasOf(Owner)], story.State.Title.Shares.Keys);
        Assert.Equal(custodian, story.State.Keeping.Custodian);
        Assert.Equal(LotStanding.Rescinded, story.State.Lots.ByEntry[3].Standing);
    }

    [Fact]
    public void Rescission_is_only_for_while_that_buyer_holds_title_and_names_a_claim_as_the_way_otherwise()
    {
        var story = TitlePassed(Spring).Given(Privately(Buyer, SecondBuyer), Pass(7, Buyer));
        var refusal = Assert.Single(story.When(Rescinded()));
        Assert.Equal("buyer-no-longer-holds", refusal.Code);
        Assert.Contains("claim", refusal.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_buyer_who_sold_on_and_bought_back_holds_title_under_the_later_sale()
    {
        var story = TitlePassed(Spring).Given(
            Privately(Buyer, SecondBuyer), Pass(7, Buyer), Privately(SecondBuyer, Buyer), Pass(9, SecondBuyer));
        Assert.Equal("buyer-no-longer-holds", story.Refused(Rescinded(4)));
        Assert.Empty(story.When(Rescinded(9, by: SecondBuyer)));
    }

    [Fact]
    public void A_rescission_waits_for_the_buyers_own_sale_to_be_cancelled() =>
        Assert.Equal("already-sold", TitlePassed(Spring).Given(Privately(Buyer, SecondBuyer)).Refused(Rescinded()));

    [Fact]
    public void A_rescission_needs_the_other_sides_word_unless_a_court_ordered_it()
    {
        Assert.Equal("other-side-unheard", TitlePassed(Spring).Refused(Rescinded(otherSide: Attestation.None)));
        Assert.Empty(TitlePassed(Spring).When(Rescinded(ground: RescissionGround.CourtOrder, otherSide: Attestation.None)));
        Assert.Equal("not-a-side", TitlePassed(Spring).Refused(Rescinded(by: Stranger)));
    }

    [Fact]
    public void Before_title_passed_a_sale_is_cancelled_not_rescinded()
    {
        Assert.Equal("title-not-passed", Sold(Spring).Refused(Rescinded()));
        Assert.Equal("no-such-sale", Sold(Spring).Refused(Rescinded(3)));
    }
}
