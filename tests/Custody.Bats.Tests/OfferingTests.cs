using Custody.Evidence;
using static Custody.Bats.Tests.Trade;

namespace Custody.Bats.Tests;

public class OfferingTests
{
    static readonly Entry Spring = Sale();

    static Story<Bat> OfferedOnce() => AtTheHouse(Spring).Given(Offered(Spring));

    static AmendLot Amended(long lot = 3, Announcement how = Announcement.FromTheRostrum, string? announced = "2024-05-04T14:02:00",
        Interest[]? interests = null, long[]? grounds = null, PartyId? by = null) => new(
        lot, how, announced is null ? null : Edtf.Parse(announced), interests, grounds, "It was used.", "It may have been used.", null, null, null)
        { By = by ?? House };

    static WithdrawLot Withdrawn(long lot = 3) => new(lot, WithdrawalGround.OpinionChanged, null, null) { By = House };

    static PassLot Passed(long lot = 3) => new(lot, PassedBecause.ReserveNotMet, Money.Parse("4000.00", "USD")) { By = House };

    static ReofferLot Again(long earlier = 3, string number = "7", Entry? sale = null) => new(
        earlier, (sale ?? Spring).Reference, number, 1, House, null, null, null, null, null, null, null)
    { By = House };

    [Fact]
    public void A_lot_names_the_terms_of_its_sale_and_an_open_number()
    {
        var story = OfferedOnce();
        Assert.Equal("12A", story.State.Lots.Open?.Value.Number);
        Assert.Equal([Spring.Reference], story.Entries[2].Fact.Cites);
    }

    [Theory]
    [InlineData("")]
    [InlineData("0")]
    [InlineData("12AB")]
    [InlineData("A12")]
    [InlineData("1234567")]
    [InlineData("12 sold by the estate")]
    public void A_lot_number_is_no_place_for_text(string number) =>
        Assert.Equal("lot-number", AtTheHouse(Spring).Refused(Offered(Spring, number: number)));

    [Fact]
    public void A_lot_holds_at_least_one_bat() =>
        Assert.Equal("lot-size", AtTheHouse(Spring).Refused(Offered(Spring) with { Bats = 0 }));

    [Fact]
    public void A_lot_stands_in_a_sale_with_known_terms()
    {
        var elsewhere = Spring.Reference with { Hash = new string('A', 43) };
        Assert.Equal("no-such-terms", AtTheHouse(Spring).Refused(Offered(Spring) with { Terms = elsewhere }));
        var opened = new Story<Sale>("sale").Given(new AnnounceSale(Terms()) { By = House }, new OpenSale { By = House }).Entries[1];
        Assert.Equal("no-such-terms", AtTheHouse(Spring).Citing(opened).Refused(Offered(Spring) with { Terms = opened.Reference }));
    }

    [Fact]
    public void Nobody_offers_without_title_or_mandate()
    {
        var story = new Story<Bat>().Citing(Spring).Given(Registered());
        Assert.Equal("no-mandate", story.Refused(Offered(Spring)));
        Assert.Empty(story.When(Offered(Spring, house: Owner, interests: Interest.HouseOwned)));
    }

    [Fact]
    public void Only_the_offering_house_records_the_offer() =>
        Assert.Equal("not-the-offerer", AtTheHouse(Spring).Refused(Offered(Spring, by: Stranger)));

    [Fact]
    public void A_bat_stands_in_one_open_lot() => Assert.Equal("already-offered", OfferedOnce().Refused(Offered(Spring)));

    [Fact]
    public void A_sold_bat_is_not_offered() => Assert.Equal("already-sold", Sold(Spring).Refused(Offered(Spring)));

    [Fact]
    public void A_house_that_holds_title_says_so_in_the_lot()
    {
        var own = new Story<Bat>().Citing(Spring).Given(Registered(owner: House));
        Assert.Equal("house-owned-undisclosed", own.Refused(Offered(Spring)));
        Assert.Empty(own.When(Offered(Spring, interests: [Interest.HouseOwned, Interest.IrrevocableBid])));
        Assert.Equal("house-owned-undisclosed", own.Refused(Amended(2, interests: [Interest.IrrevocableBid])));
    }

    [Fact]
    public void A_lots_text_rests_on_entries_of_this_bat()
    {
        Assert.Equal("rests-on-nothing", AtTheHouse(Spring).Refused(Offered(Spring, grounds: [9])));
        Assert.Equal([3L], AtTheHouse(Spring).Given(Offered(Spring, grounds: [1])).State.Corrections.Dependents(1));
    }

    [Fact]
    public void A_notice_keeps_the_text_before_and_after_and_when_it_was_announced()
    {
        var notice = Assert.IsType<LotAmended>(OfferedOnce().Given(Amended()).Entries[3].Fact);
        Assert.Equal(("It was used.", "It may have been used.", "2024-05-04T14:02:00"), (notice.Before?.Value, notice.After?.Value, notice.Announced?.Text));
    }

    [Fact]
    public void A_notice_says_when_bidders_were_told_or_that_they_were_not()
    {
        Assert.Equal("announced-when", OfferedOnce().Refused(Amended(announced: null)));
        Assert.Empty(OfferedOnce().When(Amended(how: Announcement.NotAnnounced, announced: null)));
    }

    [Fact]
    public void A_stated_list_of_interests_is_open_and_whole()
    {
        var story = OfferedOnce().Given(Amended(interests: [Interest.Guaranteed]));
        Assert.Equal([Interest.Guaranteed], Assert.IsType<LotAmended>(story.Entries[3].Fact).Interests);
        Assert.Equal("interest-twice", story.Refused(Amended(interests: [Interest.Advance, Interest.Advance])));
    }

    [Fact]
    public void Only_the_offering_house_amends_withdraws_or_passes_a_lot() =>
        Assert.All<BatCommand>([Amended(), Withdrawn(), Passed()], c => Assert.Equal("not-the-offerer", OfferedOnce().Refused(c with { By = Stranger })));

    [Fact]
    public void Only_a_lot_of_this_bat_is_amended_withdrawn_or_passed() =>
        Assert.All<BatCommand>([Amended(2), Withdrawn(2), Passed(2)], c => Assert.Equal("no-such-lot", OfferedOnce().Refused(c)));

    [Fact]
    public void A_lot_that_is_no_longer_open_is_not_amended_withdrawn_or_passed()
    {
        Assert.All<BatCommand>([Amended(), Withdrawn(), Passed()], c => Assert.Equal("lot-not-open", OfferedOnce().Given(Passed()).Refused(c)));
        Assert.All<BatCommand>([Amended(), Withdrawn(), Passed()], c => Assert.Equal("lot-not-open", OfferedOnce().Given(Withdrawn()).Refused(c)));
        Assert.All<BatCommand>([Amended(), Withdrawn(), Passed()], c => Assert.Equal("lot-not-open", Sold(Spring).Refused(c)));
    }

    [Fact]
    public void A_passed_or_withdrawn_lot_is_offered_again_as_a_new_lot()
    {
        foreach (var end in new BatCommand[] { Passed(), Withdrawn() })
        {
            var story = OfferedOnce().Given(end, Again());
            Assert.Equal(LotStanding.Reoffered, story.State.Lots.ByEntry[3].Standing);
            Assert.Equal(5, story.State.Lots.Open?.Key);
        }
    }

    [Fact]
    public void A_lot_is_offered_again_once_and_only_when_it_is_closed()
    {
        Assert.Equal("already-offered", OfferedOnce().Refused(Again()));
        Assert.Equal("no-such-lot", OfferedOnce().Given(Passed()).Refused(Again(2)));
        Assert.Equal("reoffered-already", OfferedOnce().Given(Passed(), Again(), Passed(5)).Refused(Again(3)));
        Assert.Equal("lot-number", OfferedOnce().Given(Passed()).Refused(Again(number: "0")));
    }
}
