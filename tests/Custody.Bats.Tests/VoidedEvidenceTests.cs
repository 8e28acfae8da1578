using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

/// <summary>What becomes of examinations, opinions and labels when an entry they stand on is found not to have happened (rule 6).</summary>
public class VoidedEvidenceTests
{
    static CorrectEntry DidNotHappen(Story<Bat> story, long n) =>
        new(CorrectionKind.DidNotHappen, story.Entries[(int)n - 1].Reference, null, null, null, null, null, "recorded on the wrong day") { By = House };

    static IEnumerable<long> Open(Story<Bat> story) => story.State.Corrections.Open.Select(o => o.Entry).Order();

    [Fact]
    public void A_void_examination_carries_no_opinion_and_reopens_those_it_carried()
    {
        var story = Examined().Given(Opine(2));
        story.Given(DidNotHappen(story, 2));
        Assert.Equal([5L], Open(story));
        Assert.Equal("entry-void", story.Refused(Opine(2)));
        Assert.Equal("entry-void", story.Refused(Lock(2)));
    }

    [Fact]
    public void Void_findings_reopen_the_examination_and_the_opinions_on_it_and_can_be_locked_again()
    {
        var story = Registered().Given(Scene.Open(), Lock(2));
        story.Given(DidNotHappen(story, 3));
        Assert.Equal([2L], Open(story));
        Assert.Equal("findings-not-locked", story.Refused(Close(2)));
        story.Given(Lock(2), Close(2), Opine(2));
        Assert.Empty(Open(story));
    }

    [Fact]
    public void A_void_closing_closes_nothing()
    {
        var story = Examined();
        story.Given(DidNotHappen(story, 4));
        Assert.Equal("no-closed-examination", story.Refused(Opine(2)));
        story.Given(Close(2), Opine(2));
    }

    [Fact]
    public void A_void_withdrawal_withdraws_nothing()
    {
        var story = Examined().Given(Opine(2), new WithdrawOpinion(5, OpinionWithdrawalGround.Mistake, null) { By = Examiner });
        story.Given(DidNotHappen(story, 6));
        Assert.Equal(5, story.State.Opinions.PresentByHouse(story.State.Corrections)[story.AliasOf(House)]);
    }

    [Fact]
    public void A_void_opinion_is_present_nowhere()
    {
        var story = Examined().Given(Opine(2));
        story.Given(DidNotHappen(story, 5));
        Assert.Empty(story.State.Opinions.PresentByHouse(story.State.Corrections));
        Assert.Equal([5L], story.State.Opinions.ByEntry.Keys);
    }

    [Fact]
    public void A_void_source_is_cited_no_more_and_its_withdrawal_void_cites_it_again()
    {
        var story = Registered().Given(Cite(), new WithdrawSource(2, SourceWithdrawalGround.Other, null) { By = Examiner });
        story.Given(DidNotHappen(story, 3), new WithdrawSource(2, SourceWithdrawalGround.AnotherDate, null) { By = Examiner }, Cite());
        story.Given(DidNotHappen(story, 6));
        Assert.Equal("entry-void", story.Refused(Cite(copyOf: 6)));
    }

    [Fact]
    public void A_label_whose_voiding_is_void_is_good_and_a_void_label_is_not()
    {
        var issue = new IssueLabel(LabelForm.Card, LabelPlace.Box, "host.example", []) { By = House };
        var story = Registered().Given(issue, new VoidLabel(2, LabelEndGround.Lost, null) { By = House }, issue);
        story.Given(DidNotHappen(story, 3), DidNotHappen(story, 4));
        Assert.True(story.State.Labels.IsGood(2, story.State.Corrections));
        Assert.False(story.State.Labels.IsGood(4, story.State.Corrections));
    }

    [Fact]
    public void A_picture_whose_entry_is_void_can_be_recorded_again()
    {
        var story = Registered().Given(Photograph('x'));
        story.Given(DidNotHappen(story, 2), Photograph('x'));
        Assert.Equal(4, story.State.Photographs.Recording(Picture('x'), story.State.Corrections));
    }
}
