using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class ExaminingTests
{
    static Unmask Show(Stage stage, long examination = 2, SeenHow how = SeenHow.Opened) =>
        new(examination, stage, how, [], [], "what was shown", null) { By = Examiner };

    static ReviseFindings Revise(params RevisionStated[] findings) =>
        new(2, RevisionCause.SecondLook, findings, [], null, "seen again in better light") { By = Examiner };

    [Fact]
    public void An_examination_is_opened_locked_unmasked_and_closed()
    {
        var story = Registered().Given(Open(), Lock(2), Show(Stage.HabitFile), Show(Stage.Sources), Show(Stage.Price), Close(2));
        var examination = story.State.Examinations.ByEntry[2];
        Assert.True(examination.Counts(story.State.Corrections));
        Assert.Equal([Stage.HabitFile, Stage.Sources, Stage.Price], examination.Unmasked.Select(u => u.Stage));
        Assert.Equal(Confidence.High, examination.Findings[2]);
    }

    [Fact]
    public void Pictures_only_names_the_pictures() =>
        Assert.Equal("no-photographs", Registered().Refused(Open(ExaminedFrom.PicturesOnly)));

    [Fact]
    public void Only_recorded_photographs_are_examined() =>
        Assert.Equal("no-such-photograph", Registered().Refused(Open(ExaminedFrom.PicturesOnly, photographs: 1)));

    [Fact]
    public void An_examination_of_pictures_rests_on_them() =>
        Assert.Equal([3], Registered().Given(Photograph('x'), Open(ExaminedFrom.PicturesOnly, photographs: 2)).State.Corrections.Dependents(2));

    [Theory]
    [InlineData(ProposedBy.SearchOfFiles, null)]
    [InlineData(ProposedBy.SearchOfFiles, 0L)]
    [InlineData(ProposedBy.Consignor, 12L)]
    public void A_search_says_how_many_files_it_searched_and_nothing_else_does(ProposedBy proposed, long? files) =>
        Assert.Equal("search-not-counted", Registered().Refused(Open() with { ProposedBy = proposed, FilesSearched = files }));

    [Fact]
    public void Only_the_examiner_locks_findings() => Assert.Equal("not-the-examiner", Registered().Given(Open()).Refused(Lock(2, Second)));

    [Fact]
    public void Findings_need_an_examination() => Assert.Equal("no-such-examination", Registered().Refused(Lock(1)));

    [Fact]
    public void Findings_are_locked_once() => Assert.Equal("findings-locked-already", Registered().Given(Open(), Lock(2)).Refused(Lock(2)));

    [Fact]
    public void Nothing_is_locked_or_shown_after_closing()
    {
        Assert.Equal("examination-closed", Examined().Refused(Lock(2)));
        Assert.Equal("examination-closed", Examined().Refused(Show(Stage.Price)));
        Assert.Equal("examination-closed", Examined().Refused(Close(2)));
    }

    [Fact]
    public void A_lock_without_findings_is_refused() =>
        Assert.Equal("no-findings", Registered().Given(Open()).Refused(Lock(2) with { Findings = [], Layers = [] }));

    [Fact]
    public void Every_view_of_the_fixed_list_is_answered_in_order()
    {
        var story = Registered().Given(Open());
        Assert.Equal("views-unanswered", story.Refused(Lock(2) with { Views = [.. AllViews.Skip(1)] }));
        Assert.Equal("views-unanswered", story.Refused(Lock(2) with { Views = [.. AllViews.Reverse()] }));
        story.Given(Lock(2) with { Views = [.. AllViews, new(BatView.Damage, ViewAnswer.CouldNotBeSeen)] });
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 3)]
    [InlineData(0, 1)]
    public void A_layer_lies_over_another_finding(int over, int under) => Assert.Equal("layer-of-nothing",
        Registered().Given(Open()).Refused(Lock(2) with { Layers = [new(over, under, SeenBy.Eye, Confidence.Low, null)] }));

    [Fact]
    public void A_finding_lies_on_the_bat() => Assert.Equal("place-off-the-bat", Registered().Given(Open()).Refused(
        Lock(2) with { Findings = [Tape() with { Place = Tape().Place! with { To = Inches("61") } }, PineTar()] }));

    [Fact]
    public void In_fixed_order_findings_are_locked_before_anything_is_shown() =>
        Assert.Equal("unmasked-out-of-order", Registered().Given(Open()).Refused(Show(Stage.HabitFile)));

    [Fact]
    public void In_fixed_order_the_price_comes_last()
    {
        var story = Registered().Given(Open(), Lock(2), Show(Stage.OthersOpinions));
        Assert.Equal("unmasked-out-of-order", story.Refused(Show(Stage.OwnEarlierFindings)));
        story.Given(Show(Stage.OthersOpinions), Show(Stage.Price));
    }

    [Fact]
    public void What_was_seen_by_accident_is_recorded_and_shows()
    {
        var story = Registered().Given(Open(), Show(Stage.Price, how: SeenHow.ByAccident), Lock(2), Show(Stage.HabitFile));
        Assert.Equal([false, true], story.State.Examinations.ByEntry[2].Unmasked.Select(u => u.AfterLock));
    }

    [Fact]
    public void Not_blind_is_allowed_and_said()
    {
        var story = Registered().Given(
            Open(blinding: Blinding.NotBlind) with { KnownBefore = [KnownBefore.Price], Known = "read the catalogue" },
            Show(Stage.Price), Show(Stage.HabitFile), Lock(2), Close(2));
        Assert.Equal(Blinding.NotBlind, story.State.Examinations.ByEntry[2].Blinding);
        Assert.Equal([KnownBefore.Price], story.State.Examinations.ByEntry[2].KnownBefore);
    }

    [Fact]
    public void What_is_shown_exists()
    {
        var story = Registered().Given(Open(), Lock(2));
        Assert.Equal("shown-nothing", story.Refused(Show(Stage.Sources) with { Entries = [4] }));
        var elsewhere = new Reference(null, StreamName.Parse("habits/" + new string('0', 26)), 3, new string('q', 42) + "A");
        Assert.Equal("cited-not-found", story.Refused(Show(Stage.HabitFile) with { References = [elsewhere] }));
    }

    [Fact]
    public void An_examination_is_not_closed_on_nothing()
    {
        var story = Registered().Given(Open());
        Assert.Equal("findings-not-locked", story.Refused(Close(2)));
        Assert.Equal("not-the-examiner", story.Refused(Close(2, House)));
        story.Given(Close(2, House, ExaminationOutcome.GivenUp));
        Assert.False(story.State.Examinations.ByEntry[2].Counts(story.State.Corrections));
    }

    [Fact]
    public void A_finding_is_revised_with_a_reason_and_the_first_one_stays_in_its_entry()
    {
        var story = Registered().Given(Open(), Lock(2), Revise(
            new RevisionStated(1, RevisionKind.Replaced, Tape(Confidence.High)), new RevisionStated(3, RevisionKind.Added, Tape(Confidence.Low))));
        Assert.Equal([Confidence.High, Confidence.High, Confidence.Low], story.State.Examinations.ByEntry[2].Findings.Values);
        Assert.Equal(Confidence.Moderate, ((FindingsLocked)story.Entries[2].Fact).Findings["f1"].Confidence);
    }

    [Fact]
    public void Revision_waits_for_the_lock() =>
        Assert.Equal("findings-not-locked", Registered().Given(Open()).Refused(Revise(new RevisionStated(1, RevisionKind.Replaced, Tape()))));

    [Fact]
    public void A_revision_revises_something() => Assert.Equal("no-findings", Examined().Refused(Revise()));

    [Theory]
    [InlineData(1, RevisionKind.Added)]
    [InlineData(3, RevisionKind.Replaced)]
    [InlineData(3, RevisionKind.TakenBack)]
    [InlineData(0, RevisionKind.Added)]
    public void Only_what_is_there_is_replaced_and_only_what_is_new_is_added(int number, RevisionKind change) =>
        Assert.Equal("finding-unknown", Examined().Refused(Revise(new RevisionStated(number, change, Tape()))));

    [Fact]
    public void One_finding_given_twice_is_refused_and_never_quietly_dropped() => Assert.Equal("finding-unknown", Examined().Refused(
        Revise(new RevisionStated(1, RevisionKind.Replaced, Tape()), new RevisionStated(1, RevisionKind.TakenBack, Tape()))));

    [Fact]
    public void A_finding_taken_back_does_not_return_under_its_number()
    {
        var story = Examined().Given(Revise(new RevisionStated(1, RevisionKind.TakenBack, Tape())));
        Assert.DoesNotContain(1, story.State.Examinations.ByEntry[2].Findings.Keys);
        Assert.Equal("finding-unknown", story.Refused(Revise(new RevisionStated(1, RevisionKind.Added, Tape()))));
    }

    [Fact]
    public void What_was_held_with_high_confidence_changes_only_with_a_second_examiner()
    {
        var story = Examined();
        var change = Revise(new RevisionStated(2, RevisionKind.Replaced, PineTar(Confidence.Low)));
        Assert.Equal("second-examiner-needed", story.Refused(change));
        Assert.Equal("second-examiner-needed", story.Refused(change with { SecondExaminer = Examiner }));
        story.Given(change with { SecondExaminer = Second });
    }

    [Fact]
    public void Revised_findings_reopen_every_opinion_that_rests_on_them()
    {
        var story = Examined().Given(Opine(2), Revise(new RevisionStated(1, RevisionKind.TakenBack, Tape())));
        Assert.Equal([new OpenItem(5, 6)], story.State.Corrections.Open);
    }

    [Fact]
    public void An_opinion_rests_on_the_entry_that_locked_the_findings() =>
        Assert.Contains(5, Examined().Given(Opine(2)).State.Corrections.Dependents(3));

    [Fact]
    public void Every_kind_of_finding_belongs_to_its_group() => Assert.Equal(
        [FindingPart.Make, FindingPart.HandlePreparation, FindingPart.HandlePreparation, FindingPart.Markings, FindingPart.Use, FindingPart.LaterLife],
        new[] { FindingKind.OtherMake, FindingKind.Tape, FindingKind.OtherPreparation, FindingKind.UniformNumber, FindingKind.HandleCrack, FindingKind.Repair }
            .Select(FindingKinds.PartOf));
}
