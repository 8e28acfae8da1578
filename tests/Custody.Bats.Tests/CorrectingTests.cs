using Custody.Evidence;
using static Custody.Bats.Tests.Trade;

namespace Custody.Bats.Tests;

public class CorrectingTests
{
    static readonly Entry Spring = Sale();

    static CorrectEntry Clerical(Story<Bat> story, int n, string pointer, OpenValue? open = null, WithheldValue? withheld = null, PartyId? side = null,
        string? reason = "a slip of the pen") =>
        new(CorrectionKind.Clerical, story.Entries[n - 1].Reference, pointer, open, withheld, null, side, reason) { By = House };

    static CorrectEntry Void(Story<Bat> story, int n, PartyId? side = null, string? reason = "recorded twice") =>
        new(CorrectionKind.DidNotHappen, story.Entries[n - 1].Reference, null, null, null, null, side, reason) { By = House };

    static CorrectEntry Elsewhere(Story<Bat> story, int n, Reference? bat) =>
        new(CorrectionKind.ConcernsAnotherBat, story.Entries[n - 1].Reference, null, null, null, bat, null, "wrong bat on the bench") { By = House };

    static Story<Bat> OfferedOnce(params long[] grounds) => AtTheHouse(Spring).Given(Offered(Spring, grounds: grounds));

    static PassLot Passed(long lot = 3) => new(lot, PassedBecause.NoBid, null) { By = House };

    static Entry AsCorrected(Story<Bat> story, int n)
    {
        var correction = Assert.IsType<EntryCorrected>(story.Entries[^1].Fact);
        var wrong = story.Entries[n - 1];
        return Target.Find(wrong.Fact, correction.Pointer!)!.Applied(wrong, correction);
    }

    [Fact]
    public void A_withheld_value_is_corrected_by_a_withheld_one()
    {
        var story = OfferedOnce();
        story.Given(Clerical(story, 3, "/body/text", withheld: new(Text: "It was used in play.")));
        Assert.Equal("It was used in play.", Assert.IsType<LotOffered>(AsCorrected(story, 3).Fact).Text?.Value);
        Assert.Equal("value-kind", story.Refused(Clerical(story, 3, "/body/text", new OpenValue(["no"], [], [], null, null))));
    }

    [Fact]
    public void An_open_value_is_corrected_by_an_open_one_of_its_own_kind()
    {
        var story = OfferedOnce().Given(Passed());
        story.Given(Clerical(story, 4, "/body/because", new OpenValue(["reserveNotMet"], [], [], null, null)));
        Assert.Equal(PassedBecause.ReserveNotMet, Assert.IsType<LotPassed>(AsCorrected(story, 4).Fact).Because);
    }

    [Fact]
    public void An_open_value_is_never_a_text_a_person_typed() =>
        Assert.All<OpenValue>(
            [new(["Aunt Mary asked"], [], [], null, null), new([], [1], [], null, null), new([], [], [], null, Edtf.Parse("2024")), OpenValue.None],
            value =>
            {
                var story = OfferedOnce().Given(Passed());
                Assert.Equal("value-kind", story.Refused(Clerical(story, 4, "/body/because", value)));
            });

    [Fact]
    public void The_date_of_occurrence_is_corrected_or_taken_away()
    {
        var story = OfferedOnce().Given(Passed() with { Occurred = Edtf.Parse("2024-02-28") });
        story.Given(Clerical(story, 4, "/occurred", new OpenValue([], [], [], null, Edtf.Parse("2024-02-27"))));
        Assert.Equal("2024-02-27", AsCorrected(story, 4).Envelope.Occurred?.Text);
        story.Given(Clerical(story, 4, "/occurred", OpenValue.None));
        Assert.Null(AsCorrected(story, 4).Envelope.Occurred);
    }

    [Theory]
    [InlineData("/body/nothing")]
    [InlineData("/body/text/0")]
    [InlineData("/body")]
    [InlineData("/hash")]
    [InlineData("body/text")]
    [InlineData("/body/Text")]
    [InlineData("/body/parties")]
    public void A_pointer_names_a_member_that_is_there(string pointer)
    {
        var story = OfferedOnce();
        Assert.Equal("no-such-member", story.Refused(Clerical(story, 3, pointer, withheld: new(Text: "x"))));
    }

    [Theory]
    [InlineData("/body/house")]
    [InlineData("/body/terms")]
    [InlineData("/body/grounds")]
    public void Parties_references_and_entry_numbers_are_not_corrected(string pointer)
    {
        var story = OfferedOnce();
        Assert.Equal("value-kind", story.Refused(Clerical(story, 3, pointer, new OpenValue(["p1"], [], [], null, null))));
    }

    [Fact]
    public void What_later_decisions_turn_on_has_an_act_of_its_own()
    {
        var story = OfferedOnce();
        Assert.Equal("has-own-act", story.Refused(Clerical(story, 3, "/body/interests", new OpenValue(["advance"], [], [], null, null))));
    }

    [Fact]
    public void Title_and_custody_are_not_corrected_but_what_was_typed_beside_them_is()
    {
        var story = AtTheHouse(Spring);
        Assert.Equal("has-own-act", story.Refused(Void(story, 1)));
        Assert.Equal("has-own-act", story.Refused(Clerical(story, 1, "/body/arrival", new OpenValue(["sent"], [], [], null, null))));
        Assert.Equal("no-such-member", story.Refused(Clerical(story, 1, "/body/title", OpenValue.None)));
        Assert.Empty(story.When(Clerical(story, 1, "/body/description", withheld: new(Text: "an ash bat"))));
    }

    [Fact]
    public void A_correction_names_an_entry_of_this_bat_by_its_exact_hash()
    {
        var story = OfferedOnce();
        var wrong = story.Entries[2].Reference with { Hash = story.Entries[1].Hash };
        Assert.Equal("no-such-entry", story.Refused(Void(story, 3) with { Of = wrong }));
        Assert.Equal("no-such-entry", story.Refused(Void(story, 3) with { Of = Spring.Reference }));
    }

    [Fact]
    public void Whatever_rests_on_a_corrected_entry_becomes_open_work_until_it_is_confirmed()
    {
        var story = OfferedOnce(2);
        story.Given(Clerical(story, 2, "/body/terms", withheld: new(Text: "other terms")));
        Assert.Equal([new OpenItem(3, 4)], story.State.Corrections.Open);
        story.Given(new ConfirmEntry(3, "the text stands") { By = House });
        Assert.Empty(story.State.Corrections.Open);
    }

    [Fact]
    public void Only_open_work_is_confirmed() => Assert.Equal("not-open-work", OfferedOnce().Refused(new ConfirmEntry(3, null) { By = House }));

    [Fact]
    public void An_amended_text_settles_the_lots_open_work()
    {
        var story = OfferedOnce(2);
        story.Given(
            Clerical(story, 2, "/body/terms", withheld: new(Text: "other terms")),
            new AmendLot(3, Announcement.NotAnnounced, null, null, null, "a", "b", null, null, null) { By = House });
        Assert.Empty(story.State.Corrections.Open);
    }

    [Fact]
    public void An_entry_that_did_not_happen_no_longer_counts_and_stays_readable()
    {
        var story = OfferedOnce();
        story.Given(Void(story, 3));
        Assert.True(story.State.Corrections.IsVoid(3));
        Assert.Null(story.State.Lots.Open);
        Assert.IsType<LotOffered>(story.Entries[2].Fact);
        Assert.Equal("entry-void", story.Refused(Void(story, 3)));
        Assert.Equal("entry-void", story.Refused(Clerical(story, 3, "/body/text", withheld: new(Text: "x"))));
    }

    [Fact]
    public void A_step_that_did_not_happen_gives_back_the_standing_before_it()
    {
        var story = OfferedOnce().Given(Passed());
        story.Given(Void(story, 4));
        Assert.Equal(3, story.State.Lots.Open?.Key);
    }

    [Fact]
    public void A_sale_that_did_not_happen_leaves_the_lot_open()
    {
        var story = Sold(Spring);
        story.Given(Void(story, 4));
        Assert.Equal(3, story.State.Lots.Open?.Key);
        Assert.Null(story.State.Sales.Agreed);
    }

    [Fact]
    public void A_void_ground_carries_no_text()
    {
        var story = OfferedOnce();
        story.Given(Void(story, 3));
        Assert.Equal("rests-on-void", story.Refused(Offered(Spring, grounds: [3])));
    }

    [Fact]
    public void What_later_entries_stand_on_is_not_taken_away_under_them()
    {
        var sold = Sold(Spring);
        Assert.Equal("acted-upon", sold.Refused(Void(sold, 3)));
        var passed = TitlePassed(Spring);
        Assert.Equal("acted-upon", passed.Refused(Void(passed, 4)));
        var again = OfferedOnce().Given(Passed(), new ReofferLot(3, Spring.Reference, "4", 1, House, null, null, null, null, null, null, null) { By = House });
        Assert.Empty(again.When(Void(again, 4)));
        Assert.Equal("acted-upon", OfferedTwice(out var twice).Refused(Void(twice, 4)));
    }

    // The second offer does not name the first, so nothing else tells that the lot before must not come back to life.
    static Story<Bat> OfferedTwice(out Story<Bat> story) => story = OfferedOnce().Given(Passed(), Offered(Spring));

    [Fact]
    public void A_correction_is_not_made_undone()
    {
        var story = OfferedOnce();
        story.Given(Void(story, 3));
        Assert.Equal("correction-stands", story.Refused(Void(story, 4)));
    }

    [Fact]
    public void An_entry_that_did_not_happen_takes_no_new_value()
    {
        var story = OfferedOnce();
        Assert.Equal("value-not-expected", story.Refused(Void(story, 3) with { Pointer = "/body/text" }));
    }

    [Fact]
    public void A_two_sided_act_is_corrected_with_the_other_sides_word_or_a_stated_reason()
    {
        var story = AtTheHouse(Spring);
        Assert.Equal("other-side-unheard", story.Refused(Void(story, 2, reason: null)));
        Assert.Equal("not-a-side", story.Refused(Void(story, 2, side: Stranger)));
        Assert.Equal("not-a-side", story.Refused(Void(story, 2, side: House)));
        Assert.Empty(AtTheHouse(Spring).When(Void(story, 2)));
        Assert.Empty(story.When(Void(story, 2, side: Owner, reason: null)));
    }

    [Fact]
    public void An_entry_that_concerns_another_bat_is_void_here_restated_there_and_linked_both_ways()
    {
        var other = new Story<Bat>(letter: 'X').Given(Registered());
        var story = OfferedOnce().Citing(other.Entries[0]);
        story.Given(Elsewhere(story, 3, other.Entries[0].Reference));
        Assert.True(story.State.Corrections.IsVoid(3));
        Assert.Contains(other.Entries[0].Reference, story.Entries[^1].Fact.Cites);

        other.Citing(Spring).Citing(story.Entries[^1]).Given(Consigned(), Offered(Spring), new LinkRestated(3, story.Entries[^1].Reference) { By = House });
        Assert.Equal([story.Entries[^1].Reference], other.Entries[^1].Fact.Cites);
    }

    [Fact]
    public void The_other_bat_is_named_for_that_kind_of_correction_and_for_no_other()
    {
        var other = new Story<Bat>(letter: 'X').Given(Registered());
        var story = OfferedOnce().Citing(other.Entries[0]);
        Assert.Equal("other-bat-unclear", story.Refused(Elsewhere(story, 3, null)));
        Assert.Equal("other-bat-unclear", story.Refused(Void(story, 3) with { OtherBat = other.Entries[0].Reference }));
        Assert.Equal("no-such-bat", story.Refused(Elsewhere(story, 3, story.Entries[0].Reference)));
        Assert.Equal("no-such-bat", story.Refused(Elsewhere(story, 3, Spring.Reference)));
    }

    [Fact]
    public void A_link_back_needs_a_correction_that_points_here()
    {
        var third = new Story<Bat>(letter: 'Y').Given(Registered());
        var other = new Story<Bat>(letter: 'X').Given(Registered());
        var story = OfferedOnce().Citing(other.Entries[0]);
        story.Given(Elsewhere(story, 3, other.Entries[0].Reference));
        third.Citing(story.Entries[^1]);
        Assert.Equal("no-such-correction", third.Refused(new LinkRestated(1, story.Entries[^1].Reference) { By = House }));
        Assert.Equal("no-such-correction", third.Refused(new LinkRestated(1, third.Entries[0].Reference) { By = House }));
        other.Citing(story.Entries[^1]);
        Assert.Equal("no-such-entry", other.Refused(new LinkRestated(9, story.Entries[^1].Reference) { By = House }));
    }

    [Fact]
    public void A_value_in_a_part_under_a_key_is_corrected_by_its_path()
    {
        var story = new Story<Sale>("sale").Given(new AnnounceSale(Terms()) { By = House });
        var target = Target.Find(story.Entries[0].Fact, "/body/premium/b2/rate");
        Assert.True(target!.Takes(new OpenValue([], [], [], Quantity.Parse("19", "%"), null)));
        Assert.Null(Target.Find(story.Entries[0].Fact, "/body/premium/b9/rate"));
        Assert.Null(Target.Find(story.Entries[0].Fact, "/body/premium"));
        var corrected = new EntryCorrected(CorrectionKind.Clerical, story.Entries[0].Reference, "/body/premium/b2/rate",
            new OpenValue([], [], [], Quantity.Parse("19", "%"), null), null, OtherSidesWord.NotAsked, null, null, null, null, null, null, null, null);
        var applied = Assert.IsType<SaleAnnounced>(target.Applied(story.Entries[0], corrected).Fact);
        Assert.Equal(["25 %", "19 %"], applied.Premium.Values.Select(b => b.Rate.ToString()));
    }
}
