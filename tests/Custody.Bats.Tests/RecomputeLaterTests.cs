using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

/// <summary>What happens to a recorded opinion when something under it falls or is replaced afterwards.</summary>
public class RecomputeLaterTests
{
    readonly WeighedScene scene = new();

    static RecordDating Used(string within, long? source = null, params long[] replaces) => new(
        [new(BatMoment.Used, [Edtf.Parse(within)], BoundStrength.Hard, DatingScope.Player, DatingBasis.Picture, source)], null, replaces, null)
    { By = Examiner };

    static (StreamName Stream, long Entry, string Type) Of(CauseOfChange cause) => (cause.Stream, cause.Entry, cause.Type);

    StreamName Bat => scene.Bat.Entries[0].Envelope.Stream;

    [Fact]
    public void A_cited_source_withdrawn_later_leaves_the_recorded_numbers_and_moves_todays()
    {
        scene.Bat.Given(Cite(), Used("1951/1952", source: 6)); // entries 6 and 7
        var n = scene.Give();
        Assert.Equal("1951 to 1952", scene.Recompute(n).Numbers.Single(x => x.What == "seasons under the player").Recorded);
        scene.Bat.At("2024-03-02").Given(new WithdrawSource(6, SourceWithdrawalGround.AnotherPerson, "another hitter") { By = Examiner });

        var read = scene.Recompute(n, today: true);
        Assert.True(read.Holds);
        var cause = Assert.Single(read.Today!.Causes);
        Assert.Equal((Bat, 9L, "SourceWithdrawn"), Of(cause));
        // The source was a ground of both views; only the player's was bounded by it.
        Assert.Equal([new NumberMoved("seasons under the player", "1951 to 1952", "1949 to 1952")], cause.Moved);
        Assert.Contains(scene.Bat.State.Corrections.Open, item => item == new OpenItem(n, 9));
    }

    [Fact]
    public void An_opinion_rests_on_the_dates_it_was_computed_from_and_is_open_work_when_they_are_replaced()
    {
        var n = scene.Give();
        Assert.Contains(5L, scene.Bat.State.Opinions.ByEntry[n].RestsOn);
        Assert.Contains(History.Of(scene.Bat.Entries).AsCorrected().Ripple(5).Rests, r => r.Entry == n);
        scene.Bat.At("2024-03-02").Given(Used("1950", replaces: 5));

        Assert.Contains(scene.Bat.State.Corrections.Open, item => item == new OpenItem(n, 7));
        var read = scene.Recompute(n, today: true);
        Assert.True(read.Holds);
        Assert.Equal((Bat, 7L, "DatingRecorded"), Of(Assert.Single(read.Today!.Causes)));
    }

    [Fact]
    public void Causes_stand_in_the_order_of_recording_whatever_stream_they_are_in()
    {
        var n = scene.Give();
        // The bat first and the habit file last: the other way round than the files are cited.
        scene.Bat.At("2024-03-02").Given(Used("1950", replaces: 5));
        scene.Rubric.At("2024-03-03").Given(RubricTests.Publish(2) with { UseRules = [new(UseWord.Slight, FindingKind.BallMark, 1), new(UseWord.Heavy, FindingKind.BallMark, 10)] });
        scene.Others.At("2024-03-04").Given(WeighedScene.Other('w', tape: 2, tar: 1));
        scene.Habits.At("2024-03-05").Given(WeighedScene.His(tape: 1, tar: 2));
        Assert.Equal(["bat", "rubric", "comparison", "habits"], scene.Recompute(n, today: true).Today!.Causes.Select(c => c.Stream.Kind));
    }

    [Fact]
    public void Causes_of_one_moment_stand_by_stream_and_number()
    {
        var n = scene.Give();
        scene.Habits.At("2024-03-02").Given(WeighedScene.His(tape: 1, tar: 2), WeighedScene.His(tape: 1, tar: 1));
        scene.Others.At("2024-03-02").Given(WeighedScene.Other('w', tape: 2, tar: 1));
        var moment = scene.Others.Entries[^1].Envelope.Recorded;
        var streams = new CitedStreams(new Dictionary<StreamName, IReadOnlyList<Entry>>
        {
            [scene.Rubric.Entries[0].Envelope.Stream] = scene.Rubric.Entries,
            [scene.Others.Entries[0].Envelope.Stream] = scene.Others.Entries,
            [scene.Habits.Entries[0].Envelope.Stream] =
                [.. scene.Habits.Entries.SkipLast(2), .. scene.Habits.Entries.TakeLast(2).Select(e => e with { Envelope = e.Envelope with { Recorded = moment } })],
        });
        var causes = scene.Recompute(n, today: true, streams).Today!.Causes;
        Assert.Equal([("comparison", 17L), ("habits", 11), ("habits", 12)], causes.Select(c => (c.Stream.Kind, c.Entry)));
    }

    [Fact]
    public void A_later_version_of_the_rubric_changes_todays_grade_and_not_the_recorded_one()
    {
        var n = scene.Give();
        scene.Rubric.At("2024-03-02").Given(RubricTests.Publish(2) with { UseRules = [new(UseWord.Slight, FindingKind.BallMark, 1), new(UseWord.Heavy, FindingKind.BallMark, 10)] });
        var read = scene.Recompute(n, today: true);
        Assert.True(read.Holds);
        var moved = Assert.Single(Assert.Single(read.Today!.Causes).Moved);
        Assert.Equal("grade by the rubric", moved.What);
        Assert.Contains("use slight", moved.From, StringComparison.Ordinal);
        Assert.Contains("use heavy", moved.To, StringComparison.Ordinal);
    }

    [Fact]
    public void Entries_under_a_later_number_of_the_rules_leave_recorded_numbers_as_they_are()
    {
        var n = scene.Give();
        scene.Habits.At("2024-03-02").Given(WeighedScene.His(tape: 1, tar: 2));
        scene.Bat.At("2024-03-03").Given(Used("1950", replaces: 5));
        static Entry Later(Entry entry) => entry with { Envelope = entry.Envelope with { Rules = 2 } };
        var streams = new CitedStreams(new Dictionary<StreamName, IReadOnlyList<Entry>>
        {
            [scene.Rubric.Entries[0].Envelope.Stream] = scene.Rubric.Entries,
            [scene.Others.Entries[0].Envelope.Stream] = scene.Others.Entries,
            [scene.Habits.Entries[0].Envelope.Stream] = [.. scene.Habits.Entries.SkipLast(1), Later(scene.Habits.Entries[^1])],
        });
        var read = OpinionRecomputed.Of(History.Of([.. scene.Bat.Entries.SkipLast(1), Later(scene.Bat.Entries[^1])]), n, streams, today: true)!;
        Assert.True(read.Holds);
        Assert.Equal(["OccasionRecorded", "DatingRecorded"], read.Today!.Causes.Select(c => c.Type));
    }
}
