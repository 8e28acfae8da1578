using System.Text.Json;
using Custody.Evidence;
using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class SheetAndWorkTests
{
    static Reading Read(Story<Bat> story) => History.Of(story.Entries).AsCorrected();

    static DateTimeOffset Day(string day) => new(DateTime.Parse(day, System.Globalization.CultureInfo.InvariantCulture), TimeSpan.Zero);

    [Fact]
    public void The_sheet_says_what_it_is_whose_where_and_what_stands_against_it()
    {
        var story = ABat().Given(HoldOn(HoldScope.Sell), ClaimBy(Stranger));
        var sheet = Read(story).Sheet();
        Assert.Equal(("2024-0001-X", "a bat"), (sheet.ShortNumber, sheet.Description));
        Assert.Equal((TitleStanding.Disputed, story.AliasOf(Owner)), (sheet.Title.Standing, sheet.Title.Holders.Single().Who.Alias));
        Assert.Equal((LinkState.Held, story.AliasOf(House)), (sheet.Custody.State, sheet.Custody.Custodian!.Alias));
        Assert.Equal([2L], sheet.Holds.Select(h => h.Entry));
        Assert.Equal([3L], sheet.OpenClaims.Select(c => c.Entry));
        Assert.Equal((3L, story.Entries[2].Hash), (sheet.N, sheet.Head));
    }

    [Fact]
    public void A_bat_in_transit_shows_whom_it_is_bound_for()
    {
        var story = ABat().Given(Release(House, Buyer));
        Assert.Equal((LinkState.InTransit, story.AliasOf(Buyer)), (Read(story).Sheet().Custody.State, Read(story).Sheet().Custody.BoundFor!.Alias));
    }

    [Fact]
    public void Names_are_there_for_whoever_was_shown_them()
    {
        var story = ABat();
        Assert.NotNull(Read(story).Sheet().Custody.Custodian!.Name);
        Assert.Null(History.Of(story.Entries.Select(Erased.Copy)).AsCorrected().Sheet().Custody.Custodian!.Name);
    }

    [Fact]
    public void A_release_nobody_received_is_open_work_with_its_days()
    {
        var work = Read(ABat().Given(Release(House, Buyer))).Work(Day("2024-03-11"));
        Assert.Equal((2L, 9), (work.NotReceived[0].Entry, work.NotReceived[0].Days));
        Assert.Empty(Read(ABat().Given(Release(House, Buyer), Receive(Buyer, 2))).Work(Day("2024-03-11")).NotReceived);
    }

    [Fact]
    public void A_loan_is_overdue_once_its_day_has_certainly_passed_and_until_the_bat_moves_on()
    {
        var story = ABat().Given(Release(House, Buyer, HandoverPurpose.Loan), Receive(Buyer, 2));
        Assert.Empty(Read(story).Work(Day("2024-06-30")).OverdueLoans);
        Assert.Equal([2L], Read(story).Work(Day("2024-07-01")).OverdueLoans.Select(l => l.Entry));
        story.Given(Release(Buyer, House));
        Assert.Empty(Read(story).Work(Day("2024-07-01")).OverdueLoans);
    }

    [Fact]
    public void A_bat_says_whether_anything_on_it_waits_or_will()
    {
        Assert.False(ABat().State.Waits);
        Assert.True(ABat().Given(HoldOn(HoldScope.Sell)).State.Waits);
        var loan = ABat().Given(Release(House, Buyer, HandoverPurpose.Loan), Receive(Buyer, 2));
        Assert.True(loan.State.Waits);
        Assert.False(loan.Given(Release(Buyer, House), Receive(House, 4)).State.Waits);
    }

    [Fact]
    public void A_hold_is_due_when_its_review_day_has_come()
    {
        var story = ABat().Given(HoldOn(HoldScope.Sell));
        Assert.Empty(Read(story).Work(Day("2024-08-31")).HoldsDue);
        Assert.Equal([2L], Read(story).Work(Day("2024-09-01")).HoldsDue.Select(h => h.Entry));
    }

    [Fact]
    public void An_examination_left_open_and_a_sale_that_waits_are_open_work()
    {
        var examined = Scene.Registered().Given(Scene.Open());
        Assert.Equal([2L], Read(examined).Work(Day("2024-03-02")).Examinations.Select(e => e.Entry));
        Assert.Empty(Read(Scene.Examined()).Work(Day("2024-03-02")).Examinations);
        Assert.Equal([4L], Read(Trade.Sold(Trade.Sale())).Work(Day("2024-03-02")).Sales.Select(s => s.Entry));
        Assert.Empty(Read(Trade.TitlePassed(Trade.Sale())).Work(Day("2024-03-02")).Sales);
    }

    [Fact]
    public void An_entry_whose_ground_fell_is_open_work_with_its_cause()
    {
        var story = Trade.AtTheHouse(Trade.Sale()).Given(Trade.Offered(Trade.Sale(), grounds: [2]));
        story.Given(new CorrectEntry(
            CorrectionKind.Clerical, story.Entries[1].Reference, "/body/terms", null, new WithheldValue(Text: "other"), null, null, "a slip")
        { By = House });
        Assert.Equal([new OpenEntry(3, "LotOffered", 4, "EntryCorrected")], Read(story).Work(Day("2024-03-02")).Entries);
    }

    [Fact]
    public void A_history_is_one_bats_entries_from_the_first_on_with_none_left_out()
    {
        var story = ABat().Given(HoldOn(HoldScope.Sell), HoldOn(HoldScope.Offer));
        Assert.Throws<ArgumentException>(() => History.Of(story.Entries.Skip(1)));
        Assert.Throws<ArgumentException>(() => History.Of([story.Entries[0], story.Entries[2]]));
        Assert.Throws<ArgumentException>(() => History.Of([story.Entries[0], ABat('X').Given(HoldOn(HoldScope.Sell)).Entries[1]]));
    }

    [Fact]
    public void The_same_entries_give_the_same_bytes_and_an_hour_in_the_past_gives_what_was_known_then()
    {
        var story = Trade.TitlePassed(Trade.Sale());
        Assert.Equal(Bytes(Read(story)), Bytes(Read(story)));
        Assert.NotEqual(Bytes(Read(story)), Bytes(History.Of(story.Entries).UpTo(5)));
        var then = new Story<Bat>().Citing(Trade.Sale()).Given(Trade.Registered(), Trade.Consigned(), Trade.Offered(Trade.Sale()));
        Assert.Equal(Bytes(Read(then)), Bytes(History.Of(story.Entries).AsRecorded(story.Entries[2].Envelope.Recorded)));
    }

    static string Bytes(Reading reading) => string.Join('\n', new object[]
    {
        reading.Sheet(), reading.TitleChain(), reading.CustodyChain(), reading.Opinions(), reading.Lots(), reading.Ripple(1),
        reading.Work(Day("2024-07-01")), reading.On(Edtf.Parse("1961")),
    }.Select(r => JsonSerializer.Serialize(r, r.GetType(), JsonText.Options)));
}
