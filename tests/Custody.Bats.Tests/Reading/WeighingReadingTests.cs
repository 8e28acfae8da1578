using System.Text.Json;
using Custody.Evidence;
using Custody.Evidence.Weight;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

/// <summary>A bat weighed from the record: its locked findings, a version of his file, a version of the others'.</summary>
public class WeighingReadingTests
{
    static readonly Characteristic Tape = new(FindingKind.Tape, 3, Possible.Yes, Possible.Yes, Edtf.Parse("1975"));
    static readonly Characteristic Knob = new(FindingKind.KnobShape, 1, Possible.No, Possible.No, null);

    static Reference To(Entry entry) => new(null, entry.Envelope.Stream, entry.N, entry.Hash);

    static RecordComparisonOccasion Other(char player, int tape, Observed knob) => new(
        Story<ComparisonFile>.Party(player), OccasionKind.InPlayPicture, Edtf.Parse("1951"), null, null, BatEntry.NotABat,
        [new(2, Observed.Seen, tape), new(3, knob, knob == Observed.Seen ? 1 : null)], null, null, "a print")
    { By = House };

    static Story<ComparisonFile> Others(params Command<ComparisonFile>[] more) => new Story<ComparisonFile>("comparison").Given(
            new OpenComparisonFile(House, CollectedFrom.PublishedPictures, Edtf.Parse("1940/1960"), null) { By = House },
            new DefineComparisonCharacteristic(Tape, "tape", ["rings", "spiral", "criss-cross"]) { By = House },
            new DefineComparisonCharacteristic(Knob, "knob", ["flared"]) { By = House })
        .Given([.. "gjkmnpqrst".Select((c, i) => Other(c, 1 + i % 3, i % 5 == 0 ? Observed.Seen : Observed.Absent)), .. more, new VersionComparisonCounts(null) { By = House }]);

    static RecordOccasion Seen(int tape, Observed knob = Observed.Seen) => new(
        OccasionKind.InPlayPicture, Edtf.Parse("1952"), null, null, BatEntry.NotABat, [new(2, Observed.Seen, tape), new(3, knob, knob == Observed.Seen ? 1 : null)],
        null, null, "a print")
    { By = House };

    static readonly VersionCounts Versioned = new([2, 3], null) { By = House };

    /// <summary>Characteristics 2 (tape) and 3 (knob), set beside the others' file, then sources from entry 4 on.</summary>
    static Story<HabitFile> His(Story<ComparisonFile> others, params Command<HabitFile>[] occasions) => new Story<HabitFile>("habits")
        .Citing(others.Entries[1]).Citing(others.Entries[2]).Given(
            new OpenHabitFile(Player, House, Edtf.Parse("1948/1956"), null) { By = House },
            new DefineCharacteristic(Tape, To(others.Entries[1]), "tape", ["rings", "spiral", "criss-cross"]) { By = House },
            new DefineCharacteristic(Knob, To(others.Entries[2]), "knob", ["flared"]) { By = House })
        .Given([.. occasions, Versioned]);

    static FindingStated Found(FindingKind kind, Presence presence, SurfacePlace? place = null) => new(kind, presence, Confidence.High, SeenBy.Eye, place);

    static Reading Bat(params FindingStated[] findings) => History.Of(
        Registered().Given(Open(), new LockFindings(2, findings, [], AllViews, null) { By = Examiner }).Entries).AsCorrected();

    static (BatWeighed? Weighed, Refusal? Refused) Weigh(Reading bat, Story<HabitFile> his, Story<ComparisonFile> others, params ReadAs[] readings) =>
        bat.Weigh(his.Entries, others.Entries, new WeighingAsked(null, readings, new WeighingChoices()));

    static readonly FindingStated[] TapedAndFlared = [Found(FindingKind.Tape, Presence.Seen), Found(FindingKind.KnobShape, Presence.Seen)];

    [Fact]
    public void Locked_findings_are_weighed_and_the_same_record_gives_the_same_text()
    {
        var others = Others();
        var his = His(others, Seen(2), Seen(2), Seen(2));
        var (weighed, _) = Weigh(Bat(TapedAndFlared), his, others, new ReadAs(2, 2));
        Assert.Equal(Evidence.Weight.Direction.Neither == weighed!.Result.Pairs[0].Wording.For, weighed.Result.Pairs[0].Wording.Word == VerbalScale.Neither);
        Assert.Equal([[2L], [3L]], weighed.Result.Pairs[0].Counted);
        Assert.Equal(To(his.Entries[^1]), weighed.HabitFile);
        Assert.Equal(
            JsonSerializer.Serialize(weighed, JsonText.Options), JsonSerializer.Serialize(Weigh(Bat(TapedAndFlared), his, others, new ReadAs(2, 2)).Weighed, JsonText.Options));
    }

    [Fact]
    public void Something_seen_with_several_values_does_not_count_until_it_is_said_which()
    {
        var others = Others();
        var (weighed, _) = Weigh(Bat(TapedAndFlared), His(others, Seen(2)), others);
        Assert.Equal([2L], weighed!.ValueNotRead);
        Assert.Contains(weighed.Result.Pairs[0].NotCounted, u => u is { Characteristic: 2, Why: Uncounted.ValueNotSaid });
        Assert.DoesNotContain(weighed.Result.Pairs[0].Next, n => n is { Characteristic: 2, Kind: NextKind.FindingOfAbsence });
        Assert.Equal([[3L]], weighed.Result.Pairs[0].Counted);
    }

    [Fact]
    public void Absence_is_a_value_and_what_cannot_be_judged_is_not()
    {
        var others = Others();
        var his = His(others, Seen(2), Seen(2));
        var (absent, _) = Weigh(Bat(Found(FindingKind.Tape, Presence.Absent), Found(FindingKind.KnobShape, Presence.NotAssessable)), his, others);
        Assert.Equal([[2L]], absent!.Result.Pairs[0].Counted);
        Assert.Contains(absent.Result.Pairs[0].NotCounted, u => u is { Characteristic: 3, Why: Uncounted.NotAssessable });
    }

    [Fact]
    public void The_bats_own_sources_and_the_player_among_the_others_are_left_out()
    {
        var bat = Bat(TapedAndFlared);
        var registered = new Reference(null, StreamName.Parse(bat.State.Id), 1, bat.Entries[0].Entry.Hash);
        var himself = Other('e', 2, Observed.Seen);
        var others = Others(himself, Other('v', 1, Observed.Seen) with { Bat = registered });
        var his = His(others, Seen(2), Seen(2) with { Bat = registered }, Seen(2) with { SameOccasion = 5 });
        var (weighed, _) = Weigh(bat, his, others, new ReadAs(2, 2));
        Assert.Equal([5L, 6L], weighed!.OwnLeftOut);
        Assert.Equal([14L, 15L], weighed.OthersLeftOut);
        Assert.Equal(("1", "10"), weighed.Result.Characteristics[0] is var c ? (c.Occasions, c.Players) : default);
    }

    [Fact]
    public void A_source_withdrawn_before_the_version_shows_nothing()
    {
        var others = Others();
        var his = His(others, Seen(2), Seen(1), new WithdrawOccasion(5, SourceWithdrawalGround.AnotherPerson, null) { By = House });
        var (weighed, _) = Weigh(Bat(TapedAndFlared), his, others, new ReadAs(2, 2));
        Assert.Equal("1", weighed!.Result.Characteristics[0].Occasions);
    }

    [Fact]
    public void Contradictory_findings_at_one_place_and_readings_of_nothing_are_refused_by_name()
    {
        var others = Others();
        var his = His(others, Seen(2));
        Assert.Equal("findings-contradict", Weigh(Bat(Found(FindingKind.KnobShape, Presence.Seen), Found(FindingKind.KnobShape, Presence.Absent)), his, others).Refused!.Code);
        Assert.Equal("reading-without-finding", Weigh(Bat(Found(FindingKind.Tape, Presence.Absent)), his, others, new ReadAs(3, 1)).Refused!.Code);
        Assert.Equal("value-unknown", Weigh(Bat(TapedAndFlared), his, others, new ReadAs(2, 4)).Refused!.Code);
        Assert.Equal("unknown-characteristic", Weigh(Bat(TapedAndFlared), his, others, new ReadAs(77, 1)).Refused!.Code);
        Assert.Equal("no-locked-findings", Weigh(History.Of(Registered().Entries).AsCorrected(), his, others).Refused!.Code);
    }
}
