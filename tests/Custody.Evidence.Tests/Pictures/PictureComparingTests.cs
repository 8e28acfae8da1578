namespace Custody.Evidence.Tests.Pictures;

public class PictureComparingTests
{
    static readonly PicturePoint[] Spread = [.. new Random(7) is var chance ? Enumerable.Range(0, 15).Select(_ => new PicturePoint(chance.Next(20, 480), chance.Next(20, 480))) : []];

    /// <summary>Fifteen marks turned and shifted a little; the first n of them paired.</summary>
    static PictureMarks Marks(int pairs, PlaneFit fit = PlaneFit.Similarity, double tolerance = 0.02) => new(
        fit, Spread, [.. Spread.Select((p, i) => new PicturePoint(0.9 * p.X - 0.1 * p.Y + 60 + (i % 3 - 1), 0.1 * p.X + 0.9 * p.Y + 5 - (i % 2)))],
        [.. Enumerable.Range(0, pairs).Select(i => (i, i))], 500, 500, tolerance, 1, 25, 1);

    static PictureResult Compare(PictureMarks marks) =>
        PictureComparing.TryCompare(marks, out var result, out var refusal) ? result : throw new InvalidOperationException(refusal.Code);

    static string? Refused(PictureMarks marks) => PictureComparing.TryCompare(marks, out _, out var refusal) ? null : refusal.Code;

    [Theory]
    [InlineData(5, "36", false)]
    [InlineData(6, "1.7", false)]
    [InlineData(8, "0.0014", true)]
    public void Words_follow_from_the_bound_and_are_never_another_bat(int pairs, string bound, bool same)
    {
        var result = Compare(Marks(pairs));
        Assert.Equal((pairs, bound, same), (result.Agreeing, result.FalseAlarms.Text, result.SameSurface));
        Assert.Equal(same ? "These show the same wood surface." : "Inconclusive.", result.Words);
    }

    [Fact]
    public void A_wider_tolerance_weakens_it() => Assert.Equal(("0.15", false), (Compare(Marks(8, tolerance: 0.03)).FalseAlarms.Text, Compare(Marks(8, tolerance: 0.03)).SameSurface));

    [Fact]
    public void Everything_tried_is_multiplied_in()
    {
        var result = Compare(Marks(8) with { Tried = 12 });
        Assert.Equal(("0.0014", "0.017", false), (result.FalseAlarms.Text, result.FalseAlarmsAll.Text, result.SameSurface));
    }

    [Fact]
    public void A_pair_beyond_the_tolerance_does_not_agree_and_is_named_worst()
    {
        var marks = Marks(9);
        var archive = marks.Archive.ToArray();
        archive[8] = new PicturePoint(archive[8].X + 40, archive[8].Y - 30);
        var result = Compare(marks with { Archive = archive });
        Assert.Equal((8, 9), (result.Agreeing, result.WorstPair));
        Assert.Equal([9], result.Pairs.Where(p => !p.Agrees).Select(p => p.Pair));
    }

    [Fact]
    public void Every_pair_is_drawn_where_it_falls_on_the_archive_picture()
    {
        var result = Compare(Marks(8));
        Assert.All(result.Pairs, p => Assert.InRange(Math.Abs(p.X.ToDouble() - Spread[p.Pair - 1].X), 0, 3));
        Assert.Equal(9, result.Map.Count);
        // The map stated in pixels brings the bat's first mark to the drawn place.
        var (m, at) = (result.Map.Select(d => d.ToDouble()).ToArray(), Marks(8).Bat[0]);
        Assert.Equal(result.Pairs[0].X.ToDouble(), m[0] * at.X + m[1] * at.Y + m[2], 0.06);
    }

    [Theory]
    [InlineData(PlaneFit.Similarity, 2, "fit-too-few")]
    [InlineData(PlaneFit.Similarity, 3, null)]
    [InlineData(PlaneFit.Affine, 3, "fit-too-few")]
    [InlineData(PlaneFit.Affine, 4, null)]
    [InlineData(PlaneFit.Homography, 7, "fit-too-few")]
    [InlineData(PlaneFit.Homography, 8, null)]
    public void A_fit_needs_more_pairs_than_fix_it(PlaneFit fit, int pairs, string? code) => Assert.Equal(code, Refused(Marks(pairs, fit)));

    [Theory]
    [InlineData(PlaneFit.Similarity)]
    [InlineData(PlaneFit.Affine)]
    [InlineData(PlaneFit.Homography)]
    public void Points_all_on_a_line_are_refused(PlaneFit fit)
    {
        PicturePoint[] line = [.. Enumerable.Range(0, 10).Select(i => new PicturePoint(30 + 40 * i, 50 + 20 * i + i % 2))];
        Assert.Equal("fit-on-a-line", Refused(Marks(10, fit) with { Archive = line, Bat = line }));
        Assert.Equal("fit-on-a-line", Refused(Marks(10, fit) with { Bat = line }));
        Assert.Equal("fit-on-a-line", Refused(Marks(10, fit) with { Archive = [.. line.Select(_ => new PicturePoint(5, 5))] }));
    }

    [Fact]
    public void A_fit_that_leans_on_one_pair_is_refused()
    {
        PicturePoint[] hook = [new(30, 50), new(130, 50), new(230, 50), new(330, 50), new(200, 400)];
        Assert.Equal("fit-leans-on-one", Refused(Marks(5, PlaneFit.Affine) with { Archive = hook, Bat = hook }));
        Assert.Null(Refused(Marks(5) with { Archive = hook, Bat = hook }));
    }

    [Fact]
    public void Bad_input_is_refused_by_name()
    {
        Assert.Equal("fit-range", Refused(Marks(8) with { FrameWidth = 0 }));
        Assert.Equal("fit-range", Refused(Marks(8) with { Tolerance = 0 }));
        Assert.Equal("fit-range", Refused(Marks(8) with { Tolerance = double.NaN }));
        Assert.Equal("fit-range", Refused(Marks(8) with { PoseFraction = 1.1 }));
        Assert.Equal("fit-range", Refused(Marks(8) with { Tried = 0 }));
        Assert.Equal("region-too-wide", Refused(Marks(8) with { RegionDegrees = 25.1 }));
        Assert.Equal("pair-of-nothing", Refused(Marks(8) with { Pairs = [(0, 0), (1, 15), (2, 2)] }));
        Assert.Equal("pair-of-nothing", Refused(Marks(8) with { Pairs = [(0, 0), (0, 1), (2, 2)] }));
    }
}
