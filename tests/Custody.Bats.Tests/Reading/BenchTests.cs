using System.Text.Json;
using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

/// <summary>What the examiner's bench computes from the record: seasons, layers, comparisons, condition, body.</summary>
public class BenchTests
{
    static Reading Read(Story<Bat> story) => History.Of(story.Entries).AsCorrected();

    static FindingStated Crack(string from, string to, string a, string b, Presence presence = Presence.Seen) => new(
        FindingKind.HandleCrack, presence, Confidence.High, SeenBy.RakingLight,
        new SurfacePlace(SurfaceShape.Patch, SurfaceDatum.Brand, Inches(from), Inches(to), Degrees(a), Degrees(b)));

    static FindingStated NoCrack() => new(FindingKind.HandleCrack, Presence.Absent, Confidence.High, SeenBy.RakingLight);

    static Story<Bat> Examine(Story<Bat> story, params FindingStated[] findings) => Examine(story, ExaminedFrom.BatInHand, findings);

    static Story<Bat> Examine(Story<Bat> story, ExaminedFrom from, FindingStated[] findings)
    {
        var n = story.State.N + 1;
        return story.Given(
            Open(from, photographs: from == ExaminedFrom.PicturesOnly ? [2] : []), new LockFindings(n, findings, [], AllViews, null) { By = Examiner }, Close(n));
    }

    static IReadOnlyList<DamageFound> Waiting(Story<Bat> story) => Read(story).Work(DateTimeOffset.UnixEpoch).NewDamage;

    [Fact]
    public void A_new_crack_between_release_and_receipt_raises_open_work()
    {
        var story = Examine(Registered(), NoCrack()).Given(Cast.Release(House, Owner), Cast.Receive(Owner, 5));
        Assert.False(story.State.Waits);
        Examine(story, Crack("4", "6", "350", "5"));
        var found = Assert.Single(Waiting(story));
        Assert.Equal((2L, 7L, 1, ChangeKind.New, Certainty.Certain), (found.Earlier, found.Later, found.Finding, found.Change, found.Certainty));
        Assert.Equal([5L], found.Handovers);
        Assert.True(story.State.Waits);
        var handover = Assert.Single(Read(story).Condition().Handovers);
        Assert.Equal((5L, 6L, 2L, 7L), (handover.Released, handover.Received, handover.ExaminedBefore, handover.ExaminedAfter));
        Assert.Equal(ChangeKind.New, handover.Step!.Difference!.Changes[0].Change);
    }

    [Fact]
    public void A_crack_that_grew_raises_it_too_and_a_report_of_what_happened_settles_it()
    {
        var story = Examine(Examine(Registered(), Crack("4", "6", "350", "5")), Crack("4", "7", "350", "5"));
        Assert.Equal(ChangeKind.Grown, Assert.Single(Waiting(story)).Change);
        story.Given(new ReportIncident(IncidentKind.Handling, IncidentExtent.Slight, null, AssertionBasis.HouseRecord, null, null, null, "dropped", null) { By = House });
        Assert.Empty(Waiting(story));
    }

    [Fact]
    public void The_same_crack_raises_nothing_nor_do_pictures_nor_what_is_not_damage()
    {
        Assert.Empty(Waiting(Examine(Examine(Registered(), Crack("4", "6", "350", "5")), Crack("4.1", "6.1", "352", "7"))));
        Assert.Empty(Waiting(Examine(Examine(Registered().Given(Photograph('x')), NoCrack()), ExaminedFrom.PicturesOnly, [Crack("4", "6", "350", "5")])));
        Assert.Empty(Waiting(Examine(Examine(Registered(), Tape()), Tape(), PineTar())));
    }

    [Fact]
    public void A_revision_that_takes_the_crack_back_takes_the_work_back()
    {
        var story = Examine(Examine(Registered(), NoCrack()), Crack("4", "6", "350", "5"));
        var revision = new ReviseFindings(5, RevisionCause.Mistake, [new(1, RevisionKind.TakenBack, Crack("4", "6", "350", "5"))], null, Second, "a scratch") { By = Examiner };
        Assert.Empty(Waiting(story.Given(revision)));
    }

    [Fact]
    public void Condition_shows_every_examination_and_what_lay_between()
    {
        var story = Examine(Registered(), Crack("4", "6", "350", "5")).Given(Cast.Release(House, Owner), Cast.Receive(Owner, 5));
        Examine(story, Crack("4", "6", "350", "5"), Crack("8", "9", "10", "20"));
        var condition = Read(story).Condition();
        var step = Assert.Single(condition.Steps);
        Assert.Equal(["BatReleased", "BatReceived"], step.Between.Select(b => b.Type));
        Assert.Equal([ChangeKind.New, ChangeKind.Same], step.Difference!.Changes.Select(c => c.Change));
        Assert.Equal(2, condition.Examinations.Count);
        Assert.Equal(ChangeKind.Gone, Read(story).ConditionBetween(7, 2)!.Difference!.Changes[0].Change);
        Assert.Null(Read(story).ConditionBetween(2, 3));
    }

    [Fact]
    public void Findings_that_contradict_one_another_are_said_and_not_compared()
    {
        var story = Examine(Examine(Registered(), NoCrack()), Crack("4", "6", "350", "5"), Crack("3", "7", "340", "15", Presence.Absent));
        var step = Assert.Single(Read(story).Condition().Steps);
        Assert.Equal("findings-contradict", step.Refused!.Code);
        Assert.Null(step.Difference);
        Assert.Empty(Waiting(story));
    }

    static RecordDating Date(params DatingStated[] facts) => new(facts, null, null, null) { By = Examiner };

    static DatingStated Within(BatMoment moment, string dates, DatingScope scope = DatingScope.Bat, long? source = null) =>
        new(moment, [Edtf.Parse(dates)], BoundStrength.Hard, scope, DatingBasis.Publication, source);

    [Fact]
    public void Seasons_come_from_every_recorded_date_that_stands()
    {
        var story = Registered().Given(Date(Within(BatMoment.Made, "1950/1955")), Date(Within(BatMoment.LastUse, "1961"), Within(BatMoment.Used, "1957/1959", DatingScope.Player)));
        var report = Read(story).Seasons().Report!;
        Assert.Equal((1950, 1961), (report.BatAlone.Hard.Single().First, report.BatAlone.Hard.Single().Last));
        Assert.Equal((1957, 1959), (report.UnderPlayer.Hard.Single().First, report.UnderPlayer.Hard.Single().Last));
        Assert.Equal(["2.d1", "3.d1", "3.d2"], report.Facts.Select(f => f.Id));
        Assert.Equal("3.d2", report.UnderPlayer.Hard.Single().FirstBoundBy.Sets.Single().Single());
        story.Given(Date(Within(BatMoment.Made, "1953/1955")) with { Replaces = [2] });
        Assert.Equal(1953, Read(story).Seasons().Report!.BatAlone.Hard.Single().First);
    }

    [Fact]
    public void More_dates_than_can_be_taken_together_are_said_and_nothing_breaks()
    {
        var many = Date([.. Enumerable.Repeat(Within(BatMoment.Made, "1950/1955"), DatingRecorded.MostFacts)]);
        var seasons = Read(Registered().Given(many, many, many)).Seasons();
        Assert.Null(seasons.Report);
        Assert.Equal("seasons-too-many", seasons.Refused!.Code);
        Assert.Empty(Read(Registered().Given(many, many, many)).Body().Played);
    }

    [Fact]
    public void A_fact_whose_source_was_withdrawn_is_left_out_and_said()
    {
        var story = Registered().Given(Cite(), Date(Within(BatMoment.Made, "1950/1955", source: 2), Within(BatMoment.LastUse, "1961")),
            new WithdrawSource(2, SourceWithdrawalGround.NotGenuine, null) { By = Examiner });
        var seasons = Read(story).Seasons();
        Assert.Equal(new DatingLeftOut(3, "d1", DatingLeftOutReason.SourceWithdrawn), Assert.Single(seasons.LeftOut));
        Assert.Null(seasons.Report!.BatAlone.Hard.Single().First);
    }

    static readonly MarkedPoint[] Marks =
        [.. new[] { (120, 80), (180, 95), (210, 140), (260, 120), (300, 180), (340, 90), (150, 200), (390, 210), (330, 260) }.Select(p => new MarkedPoint(PointFeature.Fleck, p.Item1, p.Item2))];

    // Entry 2 photographs, 3 the source, 4 the comparison; the bat's marks are shifted, and off by a pixel now and then.
    static Story<Bat> Marked(PlayShown play = PlayShown.InPlay) => Registered().Given(
        Photograph('x'), Cite(play: play),
        new OpenPictureComparison(
            3, Picture('a'), 2, Picture('x'), One("0.01"), One("1"), PoseGround.AllPosesAllowed,
            new SurfacePlace(SurfaceShape.Patch, SurfaceDatum.Brand, Inches("20"), Inches("26"), Degrees("350"), Degrees("15")), new PictureFrame(0, 0, 500, 500), null)
        { By = Examiner },
        new LockFeatures(4, ComparedPicture.Archive, Examiner, MarkerSight.OtherNotSeen, Marks) { By = Examiner },
        new LockFeatures(4, ComparedPicture.Bat, Second, MarkerSight.OtherNotSeen, [.. Marks.Select((m, i) => m with { X = m.X + 14 + i % 2, Y = m.Y + 9 })]) { By = Examiner });

    static ComparePictures Pair(int pairs, ComparisonResult? result = null) => new(
        4, PictureFit.Similarity, Marking.AnotherPersonWithoutSight, [.. Enumerable.Range(1, pairs).Select(i => new PointPair(i, i))], result, null, null, null, null, 1, null)
    { By = Examiner };

    [Fact]
    public void Numbers_of_a_comparison_are_computed_from_the_locked_marks_and_come_out_the_same_again()
    {
        var story = Marked().Given(Pair(9));
        var read = Assert.Single(Read(story).Comparisons().Comparisons);
        Assert.Equal((FitMethod.PictureFit1, ComparisonResult.SameWoodSurface, true), (read.Recorded!.Method, read.Recorded.Result, read.AsRecorded));
        Assert.Equal(read.Computed!.FalseAlarms, read.Recorded.FalseAlarms!.Value);
        Assert.Equal("These show the same wood surface.", read.Computed.Words);
        Assert.Equal(9, read.Computed.Pairs.Count);
    }

    [Fact]
    public void Words_stronger_than_the_bound_are_refused_where_the_numbers_are_computed()
    {
        Assert.Equal("bound-too-weak", Marked().Refused(Pair(4, ComparisonResult.SameWoodSurface)));
        Assert.Equal(ComparisonResult.Inconclusive, Marked().Given(Pair(4)).State.PictureComparisons.ByEntry[4].Result);
        Assert.Equal(ComparisonResult.Inconclusive, Marked().Given(Pair(9, ComparisonResult.Inconclusive)).State.PictureComparisons.ByEntry[4].Result);
        Assert.Equal("fit-too-few", Marked().Refused(Pair(2)));
    }

    [Fact]
    public void Other_pairs_are_tried_without_recording_anything()
    {
        var reading = Read(Marked());
        var tried = reading.TryComparison(4, PictureFit.Affine, [.. Enumerable.Range(1, 9).Select(i => new PointPair(i, i))], 3)!.Value;
        Assert.True(tried.Result!.FalseAlarmsAll > tried.Result.FalseAlarms);
        Assert.Equal("fit-too-few", reading.TryComparison(4, PictureFit.Affine, [new(1, 1)], 1)!.Value.Refused!.Code);
        Assert.Null(reading.TryComparison(3, PictureFit.Affine, [], 1));
    }

    [Fact]
    public void A_picture_in_play_that_shows_this_wood_bounds_use_and_another_only_making()
    {
        var inPlay = Read(Marked().Given(Pair(9))).Seasons().Report!;
        Assert.Equal((1952, 1952), (inPlay.BatAlone.Hard.Single().First, inPlay.BatAlone.Hard.Single().Last));
        var posed = Read(Marked(PlayShown.Posed).Given(Pair(9))).Seasons().Report!;
        Assert.Null(posed.BatAlone.Hard.Single().First);
        Assert.Equal("../1952-12-31", Assert.Single(posed.Facts).Written.Single().Text);
        Assert.Empty(Read(Marked().Given(Pair(9, ComparisonResult.Inconclusive))).Seasons().Report!.Facts);
    }

    [Fact]
    public void Layers_are_ordered_and_set_against_the_list()
    {
        var story = Examined().Given(new ListWhereabouts(
            2, [new(FindingKind.RackPaint, "red"), new(FindingKind.RackPaint, "green")],
            [new(Edtf.Parse("1951"), [1], "Harbour"), new(Edtf.Parse("1952"), [2], "Harbour"), new(Edtf.Parse("1950"), [1, 2], "Mill")],
            [new(1, 1, 1), new(2, 2, 2)], null, null, null)
        { By = Examiner });
        var layers = Assert.Single(Read(story).Layers().Examinations);
        Assert.Equal(["f1", "f2"], layers.Order!.Layers); // tar over tape
        var fit = Assert.Single(layers.Whereabouts);
        Assert.Equal((true, 3), (fit.Fit!.ProposedFits, fit.Fit.Sequences)); // Mill's green of 1950 cannot follow Harbour's red of 1951
        Assert.Equal([1, 1], fit.Fit.Contacts.Select(c => c.Others));
        Assert.Equal(("Harbour", "red"), (fit.Places[0].Name, fit.Signs["s1"]));
    }

    [Fact]
    public void Layers_in_a_circle_are_said_by_name()
    {
        var story = Registered().Given(Open(), Lock(2) with { Layers = [new(2, 1, SeenBy.Microscope, Confidence.High, null), new(1, 2, SeenBy.Eye, Confidence.Low, null)] });
        var layers = Assert.Single(Read(story).Layers().Examinations);
        Assert.Null(layers.Order);
        Assert.Equal("layers-cycle", layers.Refused!.Code);
        Assert.Contains("f1 over f2 over f1", layers.Refused.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_measurement_is_set_beside_the_baseline_and_the_limits_of_play_and_no_dated_fact_is_asked()
    {
        var reading = Read(Registered().Given(Baseline("34", "33.0"), Date(Within(BatMoment.Used, "1950"))));
        Assert.StartsWith("Agrees with", Assert.Single(reading.Plausible(FindingKind.Length, Inches("34.05"))), StringComparison.Ordinal);
        Assert.Contains("beyond measuring", Assert.Single(reading.Plausible(FindingKind.Length, Inches("33"))), StringComparison.Ordinal);
        Assert.Contains("Moisture alone", Assert.Single(reading.Plausible(FindingKind.Weight, Quantity.Parse("33.4", "[oz_av]"))), StringComparison.Ordinal);
        Assert.Contains("beyond drying alone", Assert.Single(reading.Plausible(FindingKind.Weight, Quantity.Parse("40", "[oz_av]"))), StringComparison.Ordinal);
        Assert.Contains("the unit says something else", Assert.Single(reading.Plausible(FindingKind.Weight, Inches("34"))), StringComparison.Ordinal);
        var thick = reading.Plausible(FindingKind.Girth, Inches("9"));
        Assert.Contains("never a verdict", Assert.Single(thick), StringComparison.Ordinal);
        Assert.Equal(thick, Read(Registered().Given(Baseline("34", "33.0"))).Plausible(FindingKind.Girth, Inches("9")));
        Assert.Empty(reading.Plausible(FindingKind.BallMark, Quantity.Parse("3", "1")));
    }

    static RecordBaseline Baseline(string length, string weight, string? moisture = null, string thickest = "8.2") => Cast.BaselineTaken with
    {
        Length = Inches(length),
        Weight = Quantity.Parse(weight, "[oz_av]"),
        Moisture = moisture is null ? null : Quantity.Parse(moisture, "%"),
        Girths = [new(Inches("2"), Inches("3.2")), new(Inches("12"), Inches("3.4")), new(Inches("20"), Inches("6")), new(Inches("28"), Inches(thickest))],
        By = House,
    };

    [Fact]
    public void Limits_are_those_of_the_seasons_the_dates_leave()
    {
        // 8.5 in round is 2.706 in thick: allowed in 1950, not in 2015.
        var old = Registered().Given(Baseline("34", "33", thickest: "8.5"), Date(Within(BatMoment.Used, "1950")));
        Assert.Empty(Read(old).Body().Flags);
        var young = Registered().Given(Baseline("34", "33", thickest: "8.5"), Date(Within(BatMoment.Used, "2015")));
        var flag = Assert.Single(Read(young).Body().Flags);
        Assert.Equal((BatMeasure.Diameter, "2.706", Certainty.Certain), (flag.Measurement.Measure, flag.Measurement.Value.Value.Text, flag.Certainty));
        Assert.All(Read(Registered().Given(Baseline("34", "33", thickest: "8.5"))).Body().Flags, f => Assert.Equal(Certainty.Possible, f.Certainty));
        var twice = Registered().Given(Baseline("34", "33", thickest: "8.5"), Date(new DatingStated(
            BatMoment.Used, [Edtf.Parse("1950"), Edtf.Parse("2015")], BoundStrength.Hard, DatingScope.Bat, DatingBasis.Publication)));
        Assert.Equal(Certainty.Possible, Assert.Single(Read(twice).Body().Flags).Certainty);
    }

    [Fact]
    public void Findings_have_their_surface_from_the_profile_of_the_latest_baseline()
    {
        var story = Examine(Registered().Given(Baseline("34", "33")), Tape(), Crack("33", "35", "350", "5"));
        var surfaces = Read(story).Condition().Surfaces;
        // Tape from 1.5 to 9 in: 3.2 in round up to 2 in, then 0.02 in more with each inch: 1.6 + 7 * 3.27.
        Assert.Equal([new FindingSurface(3, "f1", DecimalText.Parse("24.49")), new FindingSurface(3, "f2", null)], surfaces);
        Assert.Empty(Read(Examine(Registered(), Tape())).Condition().Surfaces);
    }

    [Fact]
    public void Findings_of_one_examination_that_touch_are_told_with_what_they_share()
    {
        var story = Examine(Registered().Given(Baseline("34", "33")), Tape(), Crack("8", "10", "350", "26"), Crack("12", "14", "350", "26"), Crack("8.5", "35", "350", "26"));
        var overlap = Assert.Single(Read(story).Condition().Overlaps);
        // From 8 to 9 in and 36 degrees round: a tenth of 3.33 in, which of the tape's 24.49 square inches is 1.4 percent. The last one is not on this bat.
        Assert.Equal(
            new FindingsOverlap(3, "f1", "f2", new SpotOverlap(true, true, DecimalText.Parse("1.00"), DecimalText.Parse("36.0"), DecimalText.Parse("0.33"), DecimalText.Parse("1.4"))), overlap);
        Assert.Empty(Read(Examine(Registered(), Tape(), Crack("8", "10", "350", "26"))).Condition().Overlaps);
    }

    [Fact]
    public void Weights_and_lengths_of_two_baselines_are_questions_when_they_do_not_fit()
    {
        var body = Read(Registered().Given(Baseline("34", "33.0"), Baseline("33.9", "34.0"))).Body();
        Assert.Null(Assert.Single(body.Weights).Question); // moisture not known: 33 oz can be 34
        Assert.Null(Assert.Single(body.Lengths).Question);
        var other = Read(Registered().Given(Baseline("34", "33.0", "9"), Baseline("33.5", "34.5", "9"))).Body();
        Assert.StartsWith("Beyond drying alone", Assert.Single(other.Weights).Question, StringComparison.Ordinal);
        Assert.StartsWith("Beyond measuring", Assert.Single(other.Lengths).Question, StringComparison.Ordinal);
        Assert.Equal(8, other.Expected.Count);
    }

    [Fact]
    public void Every_reading_can_be_handed_out_as_text_also_of_a_bare_bat()
    {
        foreach (var story in new[] { Registered(), Examined(), Marked().Given(Pair(9)), Registered().Given(Baseline("34", "33")) })
        {
            var reading = Read(story);
            foreach (var answer in new object[] { reading.Seasons(), reading.Layers(), reading.Comparisons(), reading.Condition(), reading.Body() })
                Assert.StartsWith("{", JsonSerializer.Serialize(answer, JsonText.Options), StringComparison.Ordinal);
        }
    }
}
