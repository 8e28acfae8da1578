using System.Collections.Immutable;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

/// <summary>Rule 5: the present opinion of each house, withdrawals, reports from elsewhere, replies.</summary>
public class OpinionHistoryTests
{
    static WithdrawOpinion Withdraw(long opinion, PartyId? by = null) =>
        new(opinion, OpinionWithdrawalGround.NewEvidence, "a better picture") { By = by ?? Examiner };

    static ReportOpinionWithdrawal ReportWithdrawal(long opinion) =>
        new(opinion, OpinionWithdrawalGround.NotStated, AssertionBasis.Letter, "a letter", null) { By = House };

    static RecordReply Reply(long opinion) => new(opinion, Owner, ReplyStance.Disagrees, "not so", null) { By = House };

    static ImmutableSortedDictionary<Alias, long> Present(Story<Bat> story) => story.State.Opinions.PresentByHouse(story.State.Corrections);

    [Fact]
    public void The_present_opinion_of_a_house_is_its_latest_not_withdrawn()
    {
        var story = Examined().Given(Opine(2), Opine(2) with { Supersedes = [5] });
        Assert.Equal(6, Present(story)[story.AliasOf(House)]);
        story.Given(Withdraw(6));
        Assert.Equal(5, Present(story)[story.AliasOf(House)]);
        story.Given(Withdraw(5, House));
        Assert.Empty(Present(story));
    }

    [Fact]
    public void Once_given_an_opinions_existence_always_shows() =>
        Assert.Equal([5L], Examined().Given(Opine(2), Withdraw(5)).State.Opinions.ByEntry.Keys);

    [Fact]
    public void Houses_stand_side_by_side_and_disagreement_shows()
    {
        var story = Examined().Given(Opine(2), ReportOf(OtherHouse));
        Assert.Equal(2, Present(story).Count);
        Assert.False(story.State.Opinions.HousesDisagree(story.State.Corrections));
        story.Given(ReportOf(Story<Bat>.Party('g'), ReportedConclusion.SupportsAlternative));
        Assert.True(story.State.Opinions.HousesDisagree(story.State.Corrections));
    }

    [Fact]
    public void One_house_of_two_minds_is_no_disagreement_between_houses()
    {
        var story = Examined().Given(Opine(2) with
        {
            Pairs = [Weigh(PropositionLevel.UsedInPlay, Alternative.NotUsedInPlay), Weigh(PropositionLevel.UsedInPlay, Alternative.PreparedLater, SupportFor.Alternative)],
        });
        Assert.False(story.State.Opinions.HousesDisagree(story.State.Corrections));
    }

    [Fact]
    public void Of_reported_opinions_the_one_given_last_is_present_whenever_it_was_recorded()
    {
        var story = Registered().Given(ReportOf(OtherHouse, given: "2010-05"), ReportOf(OtherHouse, given: "1998"), ReportOf(OtherHouse, given: "../2001"));
        Assert.Equal(2, Present(story)[story.AliasOf(OtherHouse)]);
        story.Given(ReportOf(OtherHouse));
        Assert.Equal(5, Present(story)[story.AliasOf(OtherHouse)]);
    }

    [Fact]
    public void A_report_from_elsewhere_is_never_withdrawn_as_ours_and_ours_never_by_report()
    {
        var story = Examined().Given(Opine(2), ReportOf(House));
        Assert.Equal("not-ours", story.Refused(Withdraw(6)));
        Assert.Equal("given-here", story.Refused(ReportWithdrawal(5)));
        story.Given(ReportWithdrawal(6));
        Assert.Equal(5, Present(story)[story.AliasOf(House)]);
    }

    [Fact]
    public void Only_its_giver_withdraws_an_opinion_and_once()
    {
        var story = Examined().Given(Opine(2));
        Assert.Equal("not-the-giver", story.Refused(Withdraw(5, Owner)));
        Assert.Equal("no-such-opinion", story.Refused(Withdraw(2)));
        story.Given(Withdraw(5));
        Assert.Equal("opinion-withdrawn", story.Refused(Withdraw(5)));
        story.Given(ReportOf(OtherHouse), ReportWithdrawal(7));
        Assert.Equal("opinion-withdrawn", story.Refused(ReportWithdrawal(7)));
    }

    [Fact]
    public void An_opinion_takes_the_place_of_its_own_houses_only()
    {
        var story = Examined().Given(ReportOf(OtherHouse));
        Assert.Equal("supersedes-another-house", story.Refused(Opine(2) with { Supersedes = [5] }));
        Assert.Equal("no-such-opinion", story.Refused(Opine(2) with { Supersedes = [2] }));
    }

    [Fact]
    public void A_new_opinion_settles_the_open_work_of_the_one_it_replaces()
    {
        var story = Examined().Given(Cite(), Opine(2) with { Grounds = new OpinionGrounds([2], Sources: [5]) });
        story.Given(new WithdrawSource(5, SourceWithdrawalGround.AnotherBat, null) { By = Examiner });
        Assert.Equal([new OpenItem(6, 7)], story.State.Corrections.Open);
        story.Given(Opine(2) with { Supersedes = [6] });
        Assert.Empty(story.State.Corrections.Open);
    }

    [Fact]
    public void A_withdrawn_opinion_reopens_the_labels_that_speak_of_it()
    {
        var story = Examined().Given(Opine(2), new IssueLabel(LabelForm.Card, LabelPlace.TiedTag, "host.example", [5]) { By = House }, Withdraw(5));
        Assert.Equal([new OpenItem(6, 7)], story.State.Corrections.Open);
    }

    [Fact]
    public void So_does_the_withdrawal_of_a_reported_one()
    {
        var story = Registered().Given(
            ReportOf(OtherHouse), new IssueLabel(LabelForm.Card, LabelPlace.TiedTag, "host.example", [2]) { By = House }, ReportWithdrawal(2));
        Assert.Equal([new OpenItem(3, 4)], story.State.Corrections.Open);
    }

    [Fact]
    public void A_reply_stands_beside_an_opinion_also_a_withdrawn_one()
    {
        var story = Examined().Given(Opine(2), Withdraw(5), Reply(5));
        Assert.Equal([7L], story.State.Opinions.ByEntry[5].Replies);
        Assert.Equal("no-such-opinion", story.Refused(Reply(2)));
    }
}
