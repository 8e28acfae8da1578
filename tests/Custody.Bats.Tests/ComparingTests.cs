using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class ComparingTests
{
    // Entry 2 photographs, entry 3 the source, entry 4 the comparison.
    static Story<Bat> Ready() => Registered().Given(Photograph('x'), Cite());

    static OpenPictureComparison Compare() => new(
        3, Picture('a'), 2, Picture('x'), One("0.02"), One("1"), PoseGround.AllPosesAllowed,
        new SurfacePlace(SurfaceShape.Patch, SurfaceDatum.Brand, Inches("20"), Inches("26"), Degrees("350"), Degrees("15")),
        new PictureFrame(100, 50, 800, 400), null)
    { By = Examiner };

    static LockFeatures Mark(ComparedPicture picture, PartyId? marker = null, MarkerSight sight = MarkerSight.OtherNotSeen, int points = 8) => new(
        4, picture, marker ?? (picture == ComparedPicture.Archive ? Examiner : Second), sight,
        [.. Enumerable.Range(1, points).Select(i => new MarkedPoint(PointFeature.RingEnd, 100 + i, 50 + i))])
    { By = Examiner };

    static Story<Bat> Marked() => Ready().Given(Compare(), Mark(ComparedPicture.Archive), Mark(ComparedPicture.Bat));

    static ComparePictures Result(int pairs, PictureFit fit = PictureFit.Similarity, Marking marking = Marking.AnotherPersonWithoutSight) => new(
        4, fit, marking, [.. Enumerable.Range(1, pairs).Select(i => new PointPair(i, i))], ComparisonResult.SameWoodSurface, One("0.004"),
        One("0.006"), One("0.0014"), 1, 3, "clear ring ends")
    { By = Examiner };

    /// <summary>A comparison of the source (entry 3) with this result, the last entry.</summary>
    internal static Story<Bat> Compared(ComparisonResult result) => Marked().Given(Result(8) with { Result = result });

    [Fact]
    public void Archive_then_bat_then_pairs()
    {
        var story = Marked().Given(Result(8));
        Assert.Equal(ComparisonResult.SameWoodSurface, story.State.PictureComparisons.ByEntry[4].Result);
        Assert.Equal(FitMethod.Stated, ((PicturesCompared)story.Entries[^1].Fact).Method);
    }

    [Theory]
    [InlineData("0", "1")]
    [InlineData("1.01", "1")]
    [InlineData("0.02", "0")]
    [InlineData("0.02", "-1")]
    public void Tolerance_and_pose_are_fractions(string tolerance, string pose) => Assert.Equal("fraction-out-of-range",
        Ready().Refused(Compare() with { Tolerance = One(tolerance), PoseFraction = One(pose) }));

    [Fact]
    public void Fewer_poses_need_a_known_camera_angle()
    {
        Assert.Equal("pose-not-justified", Ready().Refused(Compare() with { PoseFraction = One("0.25") }));
        Assert.Equal("pose-not-justified", Ready().Refused(Compare() with { PoseGround = PoseGround.CameraAngleKnown }));
        Ready().Given(Compare() with { PoseFraction = One("0.25"), PoseGround = PoseGround.CameraAngleKnown });
    }

    [Fact]
    public void The_region_is_a_patch_of_at_most_25_degrees_also_through_zero()
    {
        var region = Compare().Region;
        Assert.Equal("region-too-wide", Ready().Refused(Compare() with { Region = region with { ToAngle = Degrees("15.1") } }));
        Assert.Equal("region-no-patch", Ready().Refused(Compare() with
        {
            Region = new SurfacePlace(SurfaceShape.Band, SurfaceDatum.Brand, Inches("20"), Inches("26"), null, null),
        }));
        Assert.Equal("place-off-the-bat", Ready().Refused(Compare() with { Region = region with { To = Inches("70") } }));
    }

    [Fact]
    public void The_frame_is_not_empty() =>
        Assert.Equal("frame-empty", Ready().Refused(Compare() with { Frame = new PictureFrame(0, 0, 10, 0) }));

    [Fact]
    public void A_comparison_is_of_a_cited_source_and_a_recorded_picture()
    {
        Assert.Equal("no-such-source", Ready().Refused(Compare() with { Source = 2 }));
        Assert.Equal("no-such-photograph", Ready().Refused(Compare() with { Photograph = 3 }));
        Assert.Equal("no-such-picture", Ready().Refused(Compare() with { OfBat = Picture('z') }));
    }

    [Fact]
    public void The_archive_picture_is_marked_first() =>
        Assert.Equal("archive-first", Ready().Given(Compare()).Refused(Mark(ComparedPicture.Bat)));

    [Fact]
    public void Marks_are_locked_once()
    {
        Assert.Equal("features-locked-already", Ready().Given(Compare(), Mark(ComparedPicture.Archive)).Refused(Mark(ComparedPicture.Archive)));
        Assert.Equal("features-locked-already", Marked().Refused(Mark(ComparedPicture.Bat)));
    }

    [Fact]
    public void Marks_are_distinct_points_in_the_picture_and_not_too_many()
    {
        var story = Ready().Given(Compare());
        Assert.Equal("points-out-of-range", story.Refused(Mark(ComparedPicture.Archive, points: 0)));
        Assert.Equal("points-out-of-range", story.Refused(Mark(ComparedPicture.Archive, points: FeaturesLocked.MostPoints + 1)));
        foreach (var (x, y) in new[] { (99, 50), (100, 49), (900, 50), (100, 450) })
            Assert.Equal("point-misplaced", story.Refused(Mark(ComparedPicture.Archive) with { Points = [new(PointFeature.Knot, x, y)] }));
        Assert.Equal("point-misplaced", story.Refused(
            Mark(ComparedPicture.Archive) with { Points = [new(PointFeature.Knot, 120, 60), new(PointFeature.Pore, 120, 60)] }));
        story.Given(Mark(ComparedPicture.Archive) with { Points = [new(PointFeature.Knot, 100, 50), new(PointFeature.Pore, 899, 449)] });
        Assert.Equal("point-misplaced", story.Refused(Mark(ComparedPicture.Bat) with { Points = [new(PointFeature.Knot, -1, 0)] }));
    }

    [Fact]
    public void Marks_belong_to_a_comparison_without_a_result()
    {
        Assert.Equal("no-such-comparison", Ready().Refused(Mark(ComparedPicture.Archive) with { Comparison = 3 }));
        Assert.Equal("compared-already", Marked().Given(Result(8)).Refused(Result(8)));
    }

    [Fact]
    public void Both_pictures_are_marked_before_they_are_compared() =>
        Assert.Equal("features-not-locked", Ready().Given(Compare(), Mark(ComparedPicture.Archive)).Refused(Result(8)));

    [Fact]
    public void Same_person_is_said_when_it_was_and_only_then()
    {
        var one = Ready().Given(Compare(), Mark(ComparedPicture.Archive), Mark(ComparedPicture.Bat, Examiner, MarkerSight.OtherSeen));
        Assert.Equal("marking-not-said", one.Refused(Result(8)));
        one.Given(Result(8, marking: Marking.SamePerson));
        Assert.Equal("marking-not-said", Marked().Refused(Result(8, marking: Marking.SamePerson)));
    }

    [Fact]
    public void Sight_of_the_archive_picture_is_said()
    {
        var story = Ready().Given(Compare(), Mark(ComparedPicture.Archive), Mark(ComparedPicture.Bat, sight: MarkerSight.OtherSeen));
        Assert.Equal("marking-not-said", story.Refused(Result(8)));
        story.Given(Result(8, marking: Marking.AnotherPersonWithSight));
    }

    [Theory]
    [InlineData(PictureFit.Similarity, 2)]
    [InlineData(PictureFit.Affine, 3)]
    [InlineData(PictureFit.Homography, 7)]
    public void A_fit_needs_more_pairs_than_it_has_freedom(PictureFit fit, int pairs)
    {
        Assert.Equal("too-few-pairs", Marked().Refused(Result(pairs, fit)));
        Marked().Given(Result(pairs + 1, fit));
        Marked().Given(Result(pairs, fit) with { Result = ComparisonResult.Inconclusive });
    }

    [Fact]
    public void Pairs_join_marked_points_at_most_once()
    {
        Assert.Equal("pair-of-nothing", Marked().Refused(Result(9)));
        Assert.Equal("pair-of-nothing", Marked().Refused(Result(3) with { Pairs = [new(0, 1), new(2, 2), new(3, 3)] }));
        Assert.Equal("point-paired-twice", Marked().Refused(Result(3) with { Pairs = [new(1, 1), new(2, 1), new(3, 3)] }));
        Assert.Equal("worst-pair-unknown", Marked().Refused(Result(3) with { WorstPair = 4 }));
    }

    [Fact]
    public void Stated_numbers_are_counts_and_something_was_tried()
    {
        Assert.Equal("comparison-numbers", Marked().Refused(Result(3) with { Tried = 0 }));
        Assert.Equal("comparison-numbers", Marked().Refused(Result(3) with { Sigma = One("-1") }));
        Assert.Equal("comparison-numbers", Marked().Refused(Result(3) with { FalseAlarms = Inches("1") }));
    }

    [Fact]
    public void No_opinion_rests_on_a_comparison_without_result()
    {
        var story = Marked().Given(Open(), Lock(7), Close(7));
        var opinion = Opine(7) with { Grounds = new OpinionGrounds([7], Comparisons: [4]) };
        Assert.Equal("comparison-not-finished", story.Refused(opinion));
        story.Given(Result(8), opinion);
        Assert.Contains(11, story.State.Corrections.Dependents(5));
    }
}
