namespace Custody.Evidence.Tests.Pictures;

/// <summary>The least-squares fits against R 4.2.2 (Debian's r-base-core): lm for similarity and affine, nls for the homography; see reference.R.</summary>
public class PictureReferenceTests
{
    static readonly double[] X = [0.10, 0.32, 0.55, 0.81, 0.18, 0.47, 0.72, 0.90, 0.29, 0.63];
    static readonly double[] Y = [0.12, 0.41, 0.08, 0.22, 0.66, 0.73, 0.58, 0.79, 0.91, 0.35];
    static readonly double[] U = [0.1372, 0.3197, 0.5315, 0.7334, 0.1821, 0.4374, 0.6553, 0.7955, 0.2703, 0.5860];
    static readonly double[] V = [0.1752, 0.4523, 0.1661, 0.3003, 0.6807, 0.7476, 0.6118, 0.7952, 0.9220, 0.4043];

    static PicturePoint[] From => [.. X.Zip(Y, (x, y) => new PicturePoint(x, y))];

    static PicturePoint[] To => [.. U.Zip(V, (x, y) => new PicturePoint(x, y))];

    public static TheoryData<PlaneFit, double[]> Maps => new()
    {
        { PlaneFit.Similarity, [0.883121910577, -0.028719210788, 0.039857227676, 0.028719210788, 0.883121910577, 0.082962425609, 0, 0, 1] },
        { PlaneFit.Affine, [0.854399978340, -0.038565146608, 0.058907306870, 0.014919451096, 0.908971626737, 0.077283793838, 0, 0, 1] },
        { PlaneFit.Homography, [0.938758341764, -0.063052914505, 0.051338637414, 0.081604838406, 0.906134750641, 0.059829905467, 0.120864581837, -0.054569588543, 1] },
    };

    [Theory, MemberData(nameof(Maps))]
    public void The_fitted_map_is_that_of_R(PlaneFit fit, double[] map)
    {
        var fitted = PictureFits.Fit(fit, From, To)!.Matrix;
        // nls stops at a relative offset of 1e-5; lm is exact.
        var within = fit == PlaneFit.Homography ? 1e-6 : 1e-10;
        Assert.All(fitted.Zip(map), pair => Assert.Equal(pair.Second, pair.First, within));
    }

    [Theory]
    [InlineData(PlaneFit.Similarity, 0.011682149217, 0.011821548083, 9)]
    [InlineData(PlaneFit.Affine, 0.008146361191, 0.010913642731, 1)]
    [InlineData(PlaneFit.Homography, 0.001532091348, 0.002562595545, 8)]
    public void Sigma_leave_one_out_and_the_worst_pair_are_those_of_R(PlaneFit fit, double sigma, double leaveOneOut, int worst)
    {
        var marks = new PictureMarks(fit, [.. To.Select(p => new PicturePoint(p.X * 500, p.Y * 500))], [.. From.Select(p => new PicturePoint(p.X * 500, p.Y * 500))],
            [.. Enumerable.Range(0, 10).Select(i => (i, i))], 500, 500, 0.03, 1, 20, 1);
        Assert.True(PictureComparing.TryCompare(marks, out var result, out _));
        Assert.Equal(DecimalText.Computed(sigma, 4), result.Sigma);
        Assert.Equal(DecimalText.Computed(leaveOneOut, 4), result.LeaveOneOut);
        Assert.Equal(worst, result.WorstPair);
    }

    [Fact]
    public void Points_moved_exactly_are_fitted_exactly()
    {
        var map = new PlaneMap([0.9, -0.1, 0.05, 0.1, 0.9, -0.02, 0.2, -0.1, 1]);
        var to = From.Select(map.Of).ToArray();
        Assert.All(PictureFits.Fit(PlaneFit.Homography, From, to)!.Matrix.Zip(map.Matrix), p => Assert.Equal(p.Second, p.First, 1e-9));
        Assert.All(PictureFits.Fit(PlaneFit.Homography, From[..4], to[..4])!.Matrix.Zip(map.Matrix), p => Assert.Equal(p.Second, p.First, 1e-9));
    }
}
