using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class RecomputeTests
{
    readonly WeighedScene scene = new();

    static NumberChecked Number(OpinionRecomputed read, string what) => read.Numbers.Single(n => n.What == what);

    const string AgainstAnother = "used by him, used by another professional: weight";

    [Fact]
    public void An_opinion_comes_out_again_as_the_same_texts_from_the_ledger_alone()
    {
        var read = scene.Recompute(scene.Give());
        Assert.True(read.Holds);
        Assert.Equal(8, read.Computed); // two pairs of weight and word, three of seasons, the grade
        Assert.All(read.Numbers.Where(n => n.Standing != NumberStanding.Stated), n => Assert.Equal(n.Recorded, n.Computed));
        Assert.Equal("used in play, not used in play: word", Assert.Single(read.Numbers, n => n.Standing == NumberStanding.Stated).What);
        Assert.Equal("1949 to any", Number(read, "seasons, the bat alone").Recorded);
        Assert.Equal("1949 to 1952", Number(read, "seasons under the player").Recorded);
        Assert.Null(read.Today);
    }

    [Fact]
    public void A_weight_follows_from_the_counts_as_worked_by_hand()
    {
        // Tape and tar are one family, handle preparation; six occasions and twelve players show both, so they count jointly: C = 9, K = 1 of N = 12 with
        // spiral and light, p = (1 + 1/2) / (12 + 9/2) = 1/11. k = n = 6 and A = 1: LR = ((6 + 1/11) / 7) / (1/11).
        var weight = scene.Numbers.Pairs[0];
        Assert.Equal((SupportFor.Proposition, SupportWord.Weak), (weight.For, weight.Word));
        var expected = Math.Log10((6 + 1.0 / 11) / 7 / (1.0 / 11));
        Assert.Equal(DecimalText.Computed(expected, 3), weight.Weight!.Value);
    }

    [Theory]
    [InlineData(1), InlineData(-1)]
    public void One_digit_changed_by_one_does_not_hold(int by)
    {
        var step = Quantity.Parse(by > 0 ? "0.001" : "-0.001", "1");
        var n = scene.Give(o => o with { Pairs = [o.Pairs[0] with { Weight = Quantity.Of(o.Pairs[0].Weight!.Value + step.Value, step.Unit) }, .. o.Pairs.Skip(1)] });
        var read = scene.Recompute(n);
        Assert.False(read.Holds);
        Assert.Equal(AgainstAnother, Assert.Single(read.Numbers, x => x.Standing == NumberStanding.Differs).What);
    }

    [Fact]
    public void Seasons_that_are_not_what_the_dated_facts_leave_do_not_hold()
    {
        var read = scene.Recompute(scene.Give(o => o with { Seasons = o.Seasons! with { UnderPlayer = [new(1949, 1953)] } }));
        Assert.Equal("seasons under the player", Assert.Single(read.Numbers, x => x.Standing == NumberStanding.Differs).What);
    }

    [Fact]
    public void A_file_that_is_not_held_is_said_not_failed_silently()
    {
        var read = scene.Recompute(scene.Give(), streams: CitedStreams.None);
        Assert.False(read.Holds);
        Assert.Equal(NumberStanding.NotComputable, Number(read, AgainstAnother).Standing);
        Assert.Equal("cited-not-held", Number(read, AgainstAnother).Why);
        Assert.Equal(NumberStanding.Same, Number(read, "seasons under the player").Standing);
    }

    [Fact]
    public void Another_entry_at_the_cited_number_is_not_the_version_cited()
    {
        var n = scene.Give();
        var other = new WeighedScene();
        var forged = new CitedStreams(new Dictionary<StreamName, IReadOnlyList<Entry>>
        {
            [scene.Habits.Entries[0].Envelope.Stream] = [.. scene.Habits.Entries.SkipLast(1), scene.Habits.Entries[^1] with { Hash = other.Rubric.Entries[0].Hash }],
            [scene.Others.Entries[0].Envelope.Stream] = scene.Others.Entries,
            [scene.Rubric.Entries[0].Envelope.Stream] = scene.Rubric.Entries,
        });
        Assert.Equal("cited-not-held", Number(scene.Recompute(n, streams: forged), AgainstAnother).Why);
    }

    [Fact]
    public void What_an_examiner_stated_stays_stated_and_fails_nothing()
    {
        scene.Bat.Given(Opine(2) with { Pairs = [Opine(2).Pairs[0] with { Method = NumberMethod.Stated, Weight = One("1.5") }] });
        var read = scene.Recompute(scene.Bat.State.N);
        Assert.True(read.Holds);
        Assert.Equal(0, read.Computed);
        Assert.All(read.Numbers, n => Assert.Equal(NumberStanding.Stated, n.Standing));
        Assert.Contains("What is marked stated is the examiner's own word; nothing here computed it.", read.Cautions);
    }

    [Fact]
    public void Later_entries_make_no_earlier_number_wrong()
    {
        var n = scene.Give();
        scene.Habits.Given(WeighedScene.His(tape: 1, tar: 2), WeighedScene.Version);
        scene.Bat.Given(new ReviseFindings(2, RevisionCause.SecondLook, [new(1, RevisionKind.TakenBack, Tape())], null, null, "glue only") { By = Examiner });
        Assert.True(scene.Recompute(n).Holds);
    }

    [Fact]
    public void Everything_withheld_may_be_erased()
    {
        var n = scene.Give();
        var erased = new CitedStreams(new Dictionary<StreamName, IReadOnlyList<Entry>>
        {
            [scene.Habits.Entries[0].Envelope.Stream] = [.. scene.Habits.Entries.Select(Erased.Copy)],
            [scene.Others.Entries[0].Envelope.Stream] = [.. scene.Others.Entries.Select(Erased.Copy)],
            [scene.Rubric.Entries[0].Envelope.Stream] = [.. scene.Rubric.Entries.Select(Erased.Copy)],
        });
        Assert.True(OpinionRecomputed.Of(History.Of(scene.Bat.Entries.Select(Erased.Copy)), n, erased, today: false)!.Holds);
    }

    [Fact]
    public void An_occasion_of_this_very_bat_is_left_out_as_the_inputs_say()
    {
        var with = scene.Numbers.Pairs[0].Weight;
        var without = OpinionNumbers.Of(
            History.Of(scene.Bat.Entries).AsCorrected(), scene.Basis with { Inputs = WeighedScene.Inputs with { OwnOccasions = [4, 5] } }, scene.Streams).Pairs[0].Weight;
        Assert.NotEqual(with, without);
        // Four occasions are too few to count the two jointly: tape alone, C = 3, p = (1 + 1/2) / (12 + 3/2) = 1/9.
        Assert.Equal(DecimalText.Computed(Math.Log10((4 + 1.0 / 9) / 5 / (1.0 / 9)), 3), without!.Value);
    }

    [Fact]
    public void A_characteristic_read_from_a_finding_of_another_kind_is_refused_by_name()
    {
        var crossed = scene.Basis with { Inputs = WeighedScene.Inputs with { Traits = [new(2, Observed.Seen, 2, 2, 2)] } };
        Assert.Equal("trait-of-another-kind", Assert.Single(OpinionNumbers.Of(History.Of(scene.Bat.Entries).AsCorrected(), crossed, scene.Streams).Refused).Code);
    }

    [Fact]
    public void Under_todays_files_the_difference_shows_with_its_causes_in_order()
    {
        var n = scene.Give();
        scene.Habits.At("2024-03-02").Given(WeighedScene.His(tape: 1, tar: 1), WeighedScene.His(tape: 2, tar: 1), new WithdrawOccasion(4, SourceWithdrawalGround.AnotherPerson, null) { By = House });
        scene.Others.At("2024-03-03").Given(WeighedScene.Other('w', tape: 2, tar: 1));
        scene.Bat.At("2024-03-04").Given(new ReviseFindings(2, RevisionCause.NewMeasurement, [new(3, RevisionKind.Replaced, new(FindingKind.BallMark, Presence.Seen, Confidence.High, SeenBy.RakingLight, null, One("22")))], null, Second, "counted again") { By = Examiner });
        var today = scene.Recompute(n, today: true).Today!;
        Assert.Equal(
            [("habits", 11L), ("habits", 12), ("habits", 13), ("comparison", 17), ("bat", 7)], today.Causes.Select(c => (c.Stream.Kind, c.Entry)));
        Assert.Equal(["OccasionRecorded", "OccasionRecorded", "OccasionWithdrawn", "ComparisonOccasionRecorded", "FindingsRevised"], today.Causes.Select(c => c.Type));
        // Each step goes on from the one before, and together they are the whole difference.
        foreach (var whole in today.Changed)
        {
            var steps = today.Causes.SelectMany(c => c.Moved).Where(m => m.What == whole.What).ToList();
            Assert.Equal((whole.From, whole.To), (steps[0].From, steps[^1].To));
            Assert.All(steps.Zip(steps.Skip(1)), s => Assert.Equal(s.First.To, s.Second.From));
        }
        Assert.Contains(today.Changed, c => c.What == "grade by the rubric" && c.To!.Contains("use heavy", StringComparison.Ordinal));
    }

    [Fact]
    public void Todays_numbers_are_those_of_an_opinion_given_today()
    {
        var n = scene.Give();
        scene.Habits.At("2024-03-02").Given(WeighedScene.His(tape: 1, tar: 1), WeighedScene.Version);
        var today = scene.Recompute(n, today: true).Today!;
        scene.Bat.At("2024-03-03").Citing(scene.Habits.Entries[^1]);
        var again = scene.Recompute(scene.Give());
        Assert.Equal(today.Changed.Single(c => c.What == AgainstAnother).To!.Split(", ")[0], Number(again, AgainstAnother).Recorded);
    }

    [Fact]
    public void Without_anything_new_today_is_as_it_was()
    {
        var today = scene.Recompute(scene.Give(), today: true).Today!;
        Assert.Empty(today.Changed);
        Assert.Empty(today.Causes);
        Assert.Equal([Alternative.UsedByAnotherProfessional, Alternative.PreparedLater], today.Next.Select(x => x.Against));
        Assert.NotEmpty(today.Next[0].Next);
    }

    [Fact]
    public void A_finding_taken_back_is_no_longer_weighed_today()
    {
        var n = scene.Give();
        scene.Bat.Given(new ReviseFindings(2, RevisionCause.SecondLook, [new(1, RevisionKind.TakenBack, Tape())], null, null, "glue only") { By = Examiner });
        var cause = Assert.Single(scene.Recompute(n, today: true).Today!.Causes);
        Assert.Equal((7L, "FindingsRevised"), (cause.Entry, cause.Type));
    }

    [Fact]
    public void Cautions_travel_with_the_result()
    {
        var read = scene.Recompute(scene.Give(o => o with { Interests = [DeclaredInterest.SellsTheBat] }));
        Assert.Contains(read.Cautions, c => c.Contains("not the probability", StringComparison.Ordinal));
        Assert.Contains(read.Cautions, c => c.Contains("sells the bat", StringComparison.Ordinal));
        Assert.Equal(Warranty.Text, read.Cautions[^1]);
        Assert.Null(OpinionRecomputed.Of(History.Of(scene.Bat.Entries), 2, scene.Streams, today: false));
        Assert.Null(OpinionRecomputed.Of(History.Of(scene.Bat.Entries), 99, scene.Streams, today: false));
    }
}
