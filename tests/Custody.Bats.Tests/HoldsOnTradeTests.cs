using static Custody.Bats.Tests.Trade;

namespace Custody.Bats.Tests;

/// <summary>Rule 3 on the acts of the trade: a hold stops what its scope says and nothing else.</summary>
public class HoldsOnTradeTests
{
    static readonly Entry Spring = Sale();

    static readonly HoldScope[] AllButOffer = [HoldScope.Sell, HoldScope.PassTitle, HoldScope.Release];

    [Fact]
    public void A_hold_on_offering_stops_offering_and_nothing_else()
    {
        Assert.Equal("on-hold", AtTheHouse(Spring).Given(Cast.HoldOn(HoldScope.Offer)).Refused(Offered(Spring)));
        Assert.Empty(AtTheHouse(Spring).Given(Cast.HoldOn(AllButOffer)).When(Offered(Spring)));
        Assert.Empty(AtTheHouse(Spring).Given(Offered(Spring), Cast.HoldOn(HoldScope.Offer)).When(Hammered(Spring, 3)));
    }

    [Fact]
    public void A_hold_on_selling_stops_selling_and_nothing_else()
    {
        Assert.Equal("on-hold", AtTheHouse(Spring).Given(Offered(Spring), Cast.HoldOn(HoldScope.Sell)).Refused(Hammered(Spring, 3)));
        Assert.Equal("on-hold", AtTheHouse(Spring).Given(Cast.HoldOn(HoldScope.Sell)).Refused(Privately(House, Buyer)));
        Assert.Empty(AtTheHouse(Spring).Given(Offered(Spring), Cast.HoldOn(HoldScope.Offer, HoldScope.PassTitle, HoldScope.Release)).When(Hammered(Spring, 3)));
    }

    [Fact]
    public void A_hold_on_title_lets_the_payment_be_recorded_and_title_wait()
    {
        var story = Sold(Spring).Given(Cast.HoldOn(HoldScope.PassTitle), Paid(4));
        Assert.Equal("on-hold", story.Refused(new PassTitle(4) { By = House }));
        Assert.Empty(story.Given(new LiftHold(5, HoldEnd.MatterSettled, AssertionBasis.HouseRecord, "settled", null) { By = House }).When(new PassTitle(4) { By = House }));
    }

    [Fact]
    public void A_hold_on_title_stops_a_rescission_unless_a_court_ordered_it()
    {
        RescindSale Undone(RescissionGround ground) => new(4, ground, Attestation.SignedPaper, null, null) { By = House };
        var story = TitlePassed(Spring).Given(Cast.HoldOn(HoldScope.PassTitle));
        Assert.Equal("on-hold", story.Refused(Undone(RescissionGround.Agreed)));
        Assert.Empty(story.When(Undone(RescissionGround.CourtOrder)));
    }

    [Fact]
    public void A_withdrawal_a_pass_and_a_cancellation_are_stopped_by_no_hold()
    {
        var all = Cast.HoldOn(Enum.GetValues<HoldScope>());
        var open = AtTheHouse(Spring).Given(Offered(Spring), all);
        Assert.Empty(open.When(new WithdrawLot(3, WithdrawalGround.HoldPlaced, null, null) { By = House }));
        Assert.Empty(Sold(Spring).Given(all).When(new CancelSale(4, CancellationGround.TitleQuestioned, null) { By = House }));
    }

    [Fact]
    public void Title_that_became_disputed_does_not_pass()
    {
        var story = Sold(Spring).Given(Paid(4), Cast.ClaimBy(Stranger));
        Assert.Equal("title-moved", story.Refused(new PassTitle(4) { By = House }));
    }
}
