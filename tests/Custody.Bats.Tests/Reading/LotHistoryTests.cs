using Custody.Evidence;
using static Custody.Bats.Tests.Trade;

namespace Custody.Bats.Tests;

public class LotHistoryTests
{
    static readonly Entry Spring = Sale();

    static AmendLot Amended(string after, Announcement how = Announcement.FromTheRostrum, Interest[]? interests = null) => new(
        3, how, how == Announcement.NotAnnounced ? null : Edtf.Parse("2024-05-04"), interests, null, null, after, null, null, null)
    { By = House };

    static LotRead Lot(Story<Bat> story) => History.Of(story.Entries).AsCorrected().Lots().Lots[0];

    [Fact]
    public void What_bidders_had_been_told_at_the_hammer_is_the_last_announced_text_and_every_declared_interest()
    {
        var told = Lot(AtTheHouse(Spring).Given(
            Offered(Spring), Amended("It may have been used."), Amended("It was repaired.", interests: [Interest.Guaranteed]),
            Amended("Kept back.", Announcement.NotAnnounced, [Interest.Advance]), Hammered(Spring, 3))).Told;
        Assert.Equal((7L, 5L, "It was repaired."), (told!.AsOf, told.TextFrom, told.Text));
        Assert.Equal([Interest.Guaranteed], told.Interests);
        Assert.Equal([4L, 5], told.Notices);
        Assert.Equal([6L], told.Kept);
    }

    [Fact]
    public void A_correction_after_the_hammer_does_not_change_what_bidders_had_been_told()
    {
        var story = Sold(Spring);
        story.Given(new CorrectEntry(
            CorrectionKind.Clerical, story.Entries[2].Reference, "/body/text", null, new WithheldValue(Text: "It was never used."), null, null, null)
        { By = House });
        var lot = Lot(story);
        Assert.Equal(("It was never used.", "It was used."), (lot.Text, lot.Told?.Text));
    }

    [Fact]
    public void A_lot_that_is_still_open_has_no_hammer()
    {
        Assert.Null(Lot(AtTheHouse(Spring).Given(Offered(Spring))).Told);
    }

    [Fact]
    public void A_lot_keeps_its_steps_and_its_sale_with_prices_and_payments()
    {
        var history = History.Of(TitlePassed(Spring).Entries).AsCorrected().Lots();
        Assert.Equal([LotStanding.Offered, LotStanding.Sold], history.Lots[0].Steps.Select(s => s.Standing));
        var sale = Assert.Single(history.Sales);
        Assert.Equal([SaleStanding.Agreed, SaleStanding.TitlePassed], sale.Steps.Select(s => s.Standing));
        Assert.Equal(("8000.00 USD", "10000.00 USD"), (sale.Hammer?.ToString(), sale.Total?.ToString()));
        Assert.Equal([PaymentKind.InFull], sale.Payments.Select(p => p.Kind));
    }

    [Fact]
    public void Whoever_was_shown_nothing_reads_the_same_history_without_texts_and_prices()
    {
        var history = History.Of(TitlePassed(Spring).Entries.Select(Erased.Copy)).AsCorrected().Lots();
        Assert.Null(history.Lots[0].Told?.Text);
        Assert.Null(history.Sales[0].Hammer);
        Assert.Equal(SaleStanding.TitlePassed, history.Sales[0].Standing);
    }
}
