using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class OpinionReadingTests
{
    /// <summary>1 registered, 2 opened, 3 locked, 4 closed, 5 source, 6 opinion on both.</summary>
    static Story<Bat> Given() => Examined().Given(Cite(), Opine(2) with { Grounds = new OpinionGrounds([2], [5]) });

    static OpinionHistory Read(Story<Bat> story) => History.Of(story.Entries).AsCorrected().Opinions();

    static WithdrawSource SourceGone => new(5, SourceWithdrawalGround.NotGenuine, null) { By = Examiner };

    [Fact]
    public void An_opinion_shows_what_it_rested_on_and_how_that_stands_now()
    {
        Assert.Equal([(2L, EntryStanding.Stands), (5, EntryStanding.Stands)], Read(Given()).Opinions[0].RestedOn.Select(g => (g.Entry, g.Standing)));
        var fallen = Read(Given().Given(SourceGone)).Opinions[0];
        Assert.Equal([(2L, EntryStanding.Stands), (5, EntryStanding.Withdrawn)], fallen.RestedOn.Select(g => (g.Entry, g.Standing)));
        Assert.True(fallen.IsOpenWork);
    }

    [Fact]
    public void What_was_added_treated_or_withdrawn_since_is_listed_and_whether_it_fell_under_the_opinion()
    {
        var story = Given().Given(Cite(), SourceGone, new ReportTreatment([TreatmentKind.Cleaning], Reversible.No, null, AssertionBasis.Letter, null, null) { By = House });
        Assert.Equal(
            [(7L, SinceKind.SourceAdded, false), (8, SinceKind.Withdrawn, true), (9, SinceKind.Treated, false)],
            Read(story).Opinions[0].Since.Select(s => (s.Entry, s.Kind, s.UnderIt)));
    }

    [Fact]
    public void Opinions_of_houses_stand_side_by_side_and_a_withdrawn_one_still_shows()
    {
        var story = Given().Given(
            ReportOf(OtherHouse, ReportedConclusion.SupportsAlternative), new WithdrawOpinion(6, OpinionWithdrawalGround.SourceFell, null) { By = Examiner });
        var read = Read(story);
        Assert.Equal([6L, 7], read.Opinions.Select(o => o.Entry));
        Assert.Equal([(false, EntryStanding.Withdrawn), (true, EntryStanding.Stands)], read.Opinions.Select(o => (o.IsPresent, o.Standing)));
        Assert.Equal(8, read.Opinions[0].WithdrawnBy);
    }

    [Fact]
    public void An_opinion_shows_which_one_took_its_place_and_which_houses_came_to_oppose_it()
    {
        var story = Given().Given(
            ReportOf(OtherHouse), ReportOf(OtherHouse, ReportedConclusion.SupportsAlternative),
            Opine(2) with { Grounds = new OpinionGrounds([2]), Supersedes = [6] });
        var read = Read(story).Opinions;
        Assert.Equal([9L], read[0].RevisedBy);
        Assert.Equal([8L], read[0].OpposedBy);
        // The other house's first letter agreed; its second is not opposed to itself.
        Assert.Equal((0, 0), (read[1].RevisedBy.Count, read[1].OpposedBy.Count));
        Assert.Equal([9L], read[2].OpposedBy);
    }

    [Fact]
    public void The_ripple_of_a_source_reaches_opinions_and_labels_through_them()
    {
        var story = Given().Given(new IssueLabel(LabelForm.Card, LabelPlace.Box, "bats.example", [6]) { By = House });
        var ripple = History.Of(story.Entries).AsCorrected().Ripple(5);
        Assert.Equal([(6L, "OpinionGiven"), (7, "LabelIssued")], ripple.Rests.Select(r => (r.Entry, r.Type)));
        Assert.Equal([[5L], [6L]], ripple.Rests.Select(r => r.Through));
        Assert.Empty(History.Of(story.Entries).AsCorrected().Ripple(7).Rests);
        Assert.Throws<ArgumentOutOfRangeException>(() => History.Of(story.Entries).AsCorrected().Ripple(8));
    }

    [Fact]
    public void A_locked_finding_or_an_opinion_is_not_corrected_as_a_slip_of_the_pen()
    {
        var story = Given();
        foreach (var (n, pointer) in new[] { (3, "/body/findings/f1/presence"), (6, "/body/fee") })
        {
            Assert.Equal("has-own-act", story.Refused(new CorrectEntry(
                CorrectionKind.Clerical, story.Entries[n - 1].Reference, pointer, new OpenValue(["absent"], [], [], null, null), null, null, null, null)
            { By = Examiner }));
        }
    }
}
