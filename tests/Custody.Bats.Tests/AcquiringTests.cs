using Custody.Evidence;
using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class AcquiringTests
{
    static readonly Fraction Half = new(1, 2);

    static AcquireBat Acquire(PartyId by, params ShareOf[] title) =>
        new(AcquisitionKind.Gift, title, AssertionBasis.Document, Money.Parse("10.00", "USD"), null, null, null) { By = by };

    static readonly ShareOf ToBuyer = new(Buyer, Fraction.Whole);

    [Fact]
    public void The_holder_gives_title_away_and_custody_stays()
    {
        var story = ABat().Given(Acquire(Owner, ToBuyer));
        Assert.True(story.State.Title.IsHeldBy(story.AliasOf(Buyer)));
        Assert.False(story.State.Title.IsHeldBy(story.AliasOf(Owner)));
        Assert.Equal(2, story.State.Title.Since);
        Assert.Equal(story.AliasOf(House), story.State.Keeping.Custodian);
    }

    [Fact]
    public void Nobody_loses_title_without_having_agreed()
    {
        Assert.Equal("not-title-holder", ABat().Refused(Acquire(Buyer, ToBuyer)));
        Assert.Equal("not-title-holder", ABat().Refused(Acquire(House, new(Owner, Half), new(Buyer, Half))));
    }

    [Fact]
    public void Someone_authorised_to_pass_title_does_it_for_the_holder() =>
        Assert.Equal(3, ABat().Given(Authorise(Owner, Agent, Owner, AuthorisedAct.PassTitle), Acquire(Agent, ToBuyer)).State.Title.Since);

    [Fact]
    public void One_who_shares_title_gives_only_their_own_share()
    {
        var story = ABat().Given(Acquire(Owner, new(Owner, Half), new(Agent, Half)), Acquire(Agent, new(Owner, Half), new(Buyer, Half)));
        Assert.Equal("not-title-holder", story.Refused(Acquire(Buyer, ToBuyer)));
    }

    [Fact]
    public void Shares_sum_to_one()
    {
        Assert.Equal("shares-not-whole", ABat().Refused(Acquire(Owner, new(Owner, Half), new(Buyer, new(1, 3)))));
        ABat().Given(Acquire(Owner, new(Owner, new(1, 3)), new(Buyer, new(1, 3)), new(Agent, new(2, 6))));
    }

    [Fact]
    public void Each_holder_is_named_once() =>
        Assert.Equal("share-twice", ABat().Refused(Acquire(Owner, new(Buyer, Half), new(Buyer, Half))));

    [Fact]
    public void Somebody_acquires_on_some_basis_and_something_changes()
    {
        Assert.Equal("title-without-basis", ABat().Refused(Acquire(Owner, ToBuyer) with { Basis = AssertionBasis.None }));
        Assert.Equal("title-unchanged", ABat().Refused(Acquire(Owner, new ShareOf(Owner, Fraction.Whole))));
        Assert.Contains("no-holder", ABat().When(Acquire(Owner)).Select(r => r.Code));
    }

    [Fact]
    public void Where_title_is_not_known_it_may_be_asserted()
    {
        var story = new Story<Bat>().Given(Registered with { Title = [], TitleBasis = AssertionBasis.None }, Acquire(Stranger,
            new ShareOf(Stranger, Fraction.Whole)));
        Assert.Equal(TitleStanding.Asserted, story.State.Title.Standing);
    }

    [Fact]
    public void A_hold_on_passing_title_stops_it_and_one_on_release_does_not()
    {
        Assert.Equal("on-hold", ABat().Given(HoldOn(HoldScope.PassTitle)).Refused(Acquire(Owner, ToBuyer)));
        ABat().Given(HoldOn(HoldScope.Release, HoldScope.Offer, HoldScope.Sell), Acquire(Owner, ToBuyer));
    }

    [Fact]
    public void Disputed_title_does_not_pass() =>
        Assert.Equal("title-disputed", ABat().Given(ClaimBy(Stranger)).Refused(Acquire(Owner, ToBuyer)));

    [Fact]
    public void Nobody_but_an_heir_takes_title_away_from_under_a_consignment_a_lot_or_a_sale()
    {
        var sale = Trade.Sale();
        Assert.Equal("consignment-open", Trade.AtTheHouse(sale).Refused(Acquire(Owner, ToBuyer)));
        Assert.Equal("lot-open", Trade.AtTheHouse(sale).Given(Trade.Offered(sale)).Refused(Acquire(Owner, ToBuyer)));
        Assert.Equal("sale-open", Trade.Sold(sale).Refused(Acquire(Owner, ToBuyer)));
        Trade.AtTheHouse(sale).Given(Acquire(Owner, new ShareOf(Stranger, Fraction.Whole)) with { Kind = AcquisitionKind.Inheritance });
    }

    static ReportAcquisition Reported => new(
        AcquisitionKind.Purchase, Buyer, null, Owner, Edtf.Parse("1961~"), Edtf.Parse("1975"), AssertionBasis.HoldersWord,
            [Irregularity.SaidToBeStolen],
        null, null, "as told", null)
    { By = House };

    [Fact]
    public void A_reported_acquisition_is_recorded_even_when_irregular_and_moves_nothing()
    {
        var story = ABat();
        var before = story.State.Title;
        Assert.Equal(before, story.Given(HoldOn(HoldScope.PassTitle), ClaimBy(Stranger, ClaimKind.Damage), Reported).State.Title);
    }

    [Fact]
    public void Its_share_and_dates_must_be_possible()
    {
        Assert.Equal("share-not-proper", ABat().Refused(Reported with { Share = new(3, 2) }));
        Assert.Equal("ends-before-it-begins", ABat().Refused(Reported with { Until = Edtf.Parse("1949") }));
    }
}
