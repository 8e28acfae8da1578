namespace Custody.Evidence.Tests.Pictures;

public class FalseAlarmsTests
{
    // Worked beforehand with an independent program: 15 marks on each picture, f = 1, similarity.
    [Theory]
    [InlineData(5, 0.02, "36")]
    [InlineData(6, 0.02, "1.7")]
    [InlineData(8, 0.02, "0.0014")]
    [InlineData(8, 0.03, "0.15")]
    public void The_bound_has_the_published_values(int agreeing, double tolerance, string bound) =>
        Assert.Equal(bound, FalseAlarms.TwoFigures(FalseAlarms.Bound(15, 15, 2, agreeing, tolerance, 1)).Text);

    [Fact]
    public void Pose_fraction_and_frame_scale_it()
    {
        var whole = FalseAlarms.Bound(15, 15, 2, 8, 0.02, 1);
        Assert.Equal(whole / 4, FalseAlarms.Bound(15, 15, 2, 8, 0.02, 0.25), whole * 1e-12);
        // A frame twice as high spreads the marks thinner, as a tolerance smaller by the root of two would.
        Assert.Equal(FalseAlarms.Bound(15, 15, 2, 8, 0.02 / Math.Sqrt(2), 1), FalseAlarms.Bound(15, 15, 2, 8, 0.02, 1, 2), whole * 1e-9);
    }

    // R 4.2.2: pbinom(2, 13, 1 - exp(-15 * pi * 0.0004), lower.tail = FALSE) and pbinom(5, 13, ...), pbinom(0, 20, 0.3, lower.tail = FALSE).
    [Theory]
    [InlineData(13, 0.018673014027957, 3, 0.00161816393398)]
    [InlineData(13, 0.018673014027957, 6, 6.49835191407e-08)]
    [InlineData(20, 0.3, 1, 0.999202077337)]
    [InlineData(20, 0.3, 0, 1)]
    [InlineData(5, 0.3, 6, 0)]
    public void The_binomial_tail_is_that_of_R(int n, double p, int k, double tail) => Assert.Equal(tail, FalseAlarms.Tail(n, p, k), tail * 1e-9);

    [Theory]
    [InlineData(36.2, "36")]
    [InlineData(0.1449, "0.14")]
    [InlineData(0.996, "1.0")]
    [InlineData(0.00099949, "0.0010")]
    [InlineData(123456, "123456")]
    [InlineData(1e-30, "0.00000000000000000001")]
    public void Bounds_are_written_with_two_figures(double value, string text) => Assert.Equal(text, FalseAlarms.TwoFigures(value).Text);

    [Fact]
    public void Fewer_marks_than_fix_the_map_have_no_bound()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => FalseAlarms.Bound(1, 15, 2, 2, 0.02, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => FalseAlarms.Bound(15, 15, 2, 1, 0.02, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => FalseAlarms.Bound(15, 15, 2, 16, 0.02, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => FalseAlarms.Bound(15, 15, 2, 5, 0, 1));
    }

    // Every pairing of two marks with two marks on thousands of pictures of nothing, counted one by one. Distinct marks only: two marks on one are one.
    [Theory]
    [InlineData(7, 7, 4, 0.05)]
    [InlineData(7, 7, 5, 0.05)]
    [InlineData(6, 9, 4, 0.06)]
    [InlineData(8, 8, 4, 0.03)]
    public void On_pictures_of_nothing_no_more_accidents_happen_than_the_bound_says(int marksA, int marksB, int agreeing, double tolerance)
    {
        var chance = new Random(20260);
        const int Pictures = 300;
        long accidents = 0;
        for (var picture = 0; picture < Pictures; picture++)
            accidents += Accidents(Marks(chance, marksA), Marks(chance, marksB), agreeing, tolerance);
        var mean = (double)accidents / Pictures;
        var bound = FalseAlarms.Bound(marksA, marksB, 2, agreeing, tolerance, 1);
        Assert.InRange(mean, bound * 0.02, bound); // nor is the bound idle: a count a fiftieth of it would mean the simulation tests nothing
    }

    static PicturePoint[] Marks(Random chance, int count) => [.. Enumerable.Range(0, count).Select(_ => new PicturePoint(chance.NextDouble(), chance.NextDouble()))];

    static int Accidents(PicturePoint[] a, PicturePoint[] b, int agreeing, double tolerance)
    {
        var found = 0;
        for (var i = 0; i < a.Length; i++)
            for (var j = i + 1; j < a.Length; j++)
                for (var k = 0; k < b.Length; k++)
                    for (var l = 0; l < b.Length; l++)
                    {
                        if (k == l)
                            continue;
                        var map = PictureFits.Fit(PlaneFit.Similarity, [a[i], a[j]], [b[k], b[l]])!;
                        var others = 0UL;
                        for (var m = 0; m < a.Length; m++)
                        {
                            if (m == i || m == j)
                                continue;
                            var at = map.Of(a[m]);
                            for (var n = 0; n < b.Length; n++)
                            {
                                if (n != k && n != l && PictureFits.Distance(at, b[n]) <= tolerance)
                                    others |= 1UL << n;
                            }
                        }
                        if (2 + System.Numerics.BitOperations.PopCount(others) >= agreeing)
                            found++;
                    }
        return found;
    }
}
