using Custody.Evidence;
using static Custody.Bats.Tests.Trade;

namespace Custody.Bats.Tests;

public class ConsigningTests
{
    static readonly Entry Spring = Sale();

    static EndConsignment End(PartyId by, long n = 2) => new(n, ConsignmentEnding.Unsold, null) { By = by };

    [Fact]
    public void A_consignment_leaves_title_with_the_consignor_and_lets_the_house_offer()
    {
        var story = AtTheHouse(Spring);
        Assert.True(story.State.Title.IsHeldBy(story.AliasOf(Owner)));
        Assert.Empty(story.When(Offered(Spring)));
    }

    [Fact]
    public void Reserve_commission_and_terms_of_a_consignment_are_withheld()
    {
        var consigned = Assert.IsType<BatConsigned>(AtTheHouse(Spring).Entries[1].Fact);
        Assert.IsType<Withheld<Money>>(consigned.Reserve);
        Assert.IsType<Withheld<Quantity>>(consigned.Commission);
        Assert.IsType<Withheld<string>>(consigned.Terms);
    }

    [Fact]
    public void Only_a_holder_of_title_or_someone_with_authority_consigns() =>
        Assert.Equal("no-mandate", new Story<Bat>().Given(Registered()).Refused(Consigned(consignor: Stranger)));

    [Fact]
    public void The_house_records_a_consignment_only_with_the_consignors_word() =>
        Assert.Equal("consignor-unheard", new Story<Bat>().Given(Registered()).Refused(Consigned(attestation: Attestation.None)));

    [Fact]
    public void A_stranger_does_not_record_a_consignment() =>
        Assert.Equal("consignor-unheard", new Story<Bat>().Given(Registered()).Refused(Consigned(by: Stranger)));

    [Fact]
    public void The_consignor_may_record_it_without_more() =>
        Assert.Empty(new Story<Bat>().Given(Registered()).When(Consigned(by: Owner, attestation: Attestation.None)));

    [Fact]
    public void A_bat_is_consigned_once_at_a_time() => Assert.Equal("already-consigned", AtTheHouse(Spring).Refused(Consigned()));

    [Fact]
    public void House_owned_stock_is_disclosed_when_consigned()
    {
        var own = new Story<Bat>().Given(Registered(owner: House));
        Assert.Equal("house-owned-undisclosed", own.Refused(Consigned(consignor: House)));
        Assert.Empty(own.When(Consigned(consignor: House, interests: Interest.HouseOwned)));
    }

    [Fact]
    public void An_interest_is_declared_once() =>
        Assert.Equal("interest-twice", new Story<Bat>().Given(Registered()).Refused(Consigned(interests: [Interest.Advance, Interest.Advance])));

    [Fact]
    public void A_sold_bat_is_not_consigned() =>
        Assert.Equal("already-sold", new Story<Bat>().Given(Registered(), Privately(Owner, Buyer, TitlePassing.OnFullPayment)).Refused(Consigned()));

    [Fact]
    public void The_house_or_the_consignor_ends_a_consignment()
    {
        Assert.Empty(AtTheHouse(Spring).When(End(House)));
        Assert.Empty(AtTheHouse(Spring).When(End(Owner)));
        Assert.Equal("not-a-side", AtTheHouse(Spring).Refused(End(Stranger)));
    }

    [Fact]
    public void After_a_consignment_ended_the_house_no_longer_offers() =>
        Assert.Equal("no-mandate", AtTheHouse(Spring).Given(End(House)).Refused(Offered(Spring)));

    [Fact]
    public void Only_an_open_consignment_ends()
    {
        Assert.Equal("no-open-consignment", AtTheHouse(Spring).Given(End(House)).Refused(End(House)));
        Assert.Equal("no-open-consignment", AtTheHouse(Spring).Refused(End(House, 1)));
    }

    [Fact]
    public void A_consignment_does_not_end_under_an_open_lot_or_a_sale()
    {
        Assert.Equal("lot-open", AtTheHouse(Spring).Given(Offered(Spring)).Refused(End(House)));
        Assert.Equal("already-sold", Sold(Spring).Refused(End(House)));
    }

    [Fact]
    public void A_consignment_by_former_holders_gives_the_house_no_say_over_the_new_ones()
    {
        var story = TitlePassed(Spring);
        Assert.Equal("no-mandate", story.Refused(Offered(Spring)));
        Assert.Null(story.State.Consignments.Open);
    }

    [Fact]
    public void A_consignment_says_nothing_for_whoever_a_court_gave_title_to()
    {
        var story = AtTheHouse(Spring).Given(
            Cast.ClaimBy(Stranger), new ResolveClaim(3, ClaimOutcome.Upheld, AssertionBasis.CourtOrder, [new(Stranger, Fraction.Whole)], null, null) { By = House });
        Assert.Equal("no-mandate", story.Refused(Offered(Spring)));
        Assert.Empty(story.When(Consigned(consignor: Stranger)));
    }

    [Fact]
    public void Heirs_come_into_the_consignors_place()
    {
        var story = AtTheHouse(Spring).Given(new AcquireBat(
            AcquisitionKind.Inheritance, [new(SecondBuyer, Fraction.Whole)], AssertionBasis.Document, null, null, null, null)
        { By = Owner });
        Assert.Empty(story.When(Offered(Spring)));
    }
}
