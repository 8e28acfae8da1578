using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class LabellingTests
{
    static readonly IssueLabel Issue = new(LabelForm.Card, LabelPlace.TiedTag, "host.example", []) { By = House };

    static ReplaceLabel Replace(long label) =>
        new(label, LabelEndGround.Damaged, LabelForm.Plastic, LabelPlace.Sleeve, "host.example", [], "torn") { By = House };

    static VoidLabel Void(long label) => new(label, LabelEndGround.Copied, "seen twice") { By = House };

    static ReportLabel Report(long? label, LabelNotice notice = LabelNotice.OnAnotherBat) => new(label, notice, null, "at a fair", null) { By = Owner };

    [Fact]
    public void Labels_of_a_bat_are_numbered_on()
    {
        var story = Registered().Given(Issue, Issue);
        Assert.Equal([1L, 2L], story.State.Labels.ByEntry.Values.Select(l => l.Serial));
        Assert.True(story.State.Labels.IsGood(2, story.State.Corrections));
    }

    [Fact]
    public void A_serial_that_does_not_follow_is_refused()
    {
        var story = Registered().Given(Issue);
        var late = new LabelIssued(1, LabelForm.Card, LabelPlace.Box, [], "host.example");
        var entry = story.Entries[1] with { Fact = late, Envelope = story.Entries[1].Envelope with { N = 3, Prev = story.State.Head } };
        Assert.Equal("label-serial", Assert.Single(Decisions.Permit(story.State, entry, NothingCited.Instance)).Code);
    }

    [Fact]
    public void A_replaced_label_ends_and_names_the_new_one()
    {
        var story = Registered().Given(Issue, Replace(2));
        Assert.Equal(3, story.State.Labels.ByEntry[2].ReplacedBy);
        Assert.False(story.State.Labels.IsGood(2, story.State.Corrections));
        Assert.True(story.State.Labels.IsGood(3, story.State.Corrections));
    }

    [Fact]
    public void Only_a_label_in_use_is_voided_or_replaced()
    {
        var story = Registered().Given(Issue, Void(2));
        Assert.Equal("label-ended", story.Refused(Void(2)));
        Assert.Equal("label-ended", story.Refused(Replace(2)));
        Assert.Equal("no-such-label", story.Refused(Void(1)));
        Assert.Equal(3, story.State.N);
    }

    [Fact]
    public void A_label_is_replaced_by_a_later_one()
    {
        var story = Registered().Given(Issue, Issue);
        var backwards = new LabelReplaced(3, 2, LabelEndGround.Lost, null);
        var entry = story.Entries[2] with { Fact = backwards, Envelope = story.Entries[2].Envelope with { N = 4, Prev = story.State.Head } };
        Assert.Equal("label-not-later", Assert.Single(Decisions.Permit(story.State, entry, NothingCited.Instance)).Code);
    }

    [Fact]
    public void A_mix_up_freezes_labels_but_not_their_voiding()
    {
        var here = Registered().Entries[0];
        var other = here with { Envelope = here.Envelope with { Stream = StreamName.Parse("bat/" + new string('1', 25) + "0") }, Hash = new string('m', 42) + "A" };
        var story = Registered().Citing(other).Given(Issue, new FindMixUp(other.Reference, [], "two tags exchanged") { By = House });
        Assert.Equal("mixed-up", story.Refused(Issue));
        Assert.Equal("mixed-up", story.Refused(Replace(2)));
        story.Given(Void(2));
    }

    [Fact]
    public void A_label_speaks_of_opinions_that_stand() =>
        Assert.Equal("no-such-opinion", Registered().Refused(Issue with { Opinions = [1] }));

    [Fact]
    public void Anyone_reports_a_label_also_one_voided_or_not_issued_here()
    {
        var story = Registered().Given(Issue, Void(2), Report(2), Report(null, LabelNotice.NotIssuedHere));
        Assert.Equal([4L], story.State.Labels.ByEntry[2].Reports);
        Assert.Equal([5L], story.State.Labels.ReportsOfStrangers);
    }

    [Fact]
    public void A_reported_label_is_named_or_said_not_to_be_ours()
    {
        Assert.Equal("no-such-label", Registered().Refused(Report(1)));
        Assert.Equal("label-not-named", Registered().Refused(Report(null)));
        Assert.Equal("label-not-named", Registered().Given(Issue).Refused(Report(2, LabelNotice.NotIssuedHere)));
    }
}
