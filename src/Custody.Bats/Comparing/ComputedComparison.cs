using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Computes a comparison from its locked marks: open fields only, so that a checker finds the same.</summary>
static class ComputedComparison
{
    /// <summary>The result, or why there is none.</summary>
    /// <param name="comparison">One that was opened.</param>
    /// <param name="fit">How the bat's picture is laid on the archive picture.</param>
    /// <param name="pairs">Places in the locked lists, from 1.</param>
    /// <param name="tried">Everything tried, multiplied.</param>
    public static (PictureResult? Result, EvidenceRefusal? Refused) Compute(this PictureComparison comparison, PictureFit fit, IReadOnlyList<PointPair> pairs, long tried)
    {
        if (comparison is not { OnArchive: { } archive, OnBat: { } ofBat, Limits: { } limits })
            return (null, new("features-not-locked", "The marks on both pictures are not locked yet.", "Lock the archive picture's, then the bat's."));
        var marks = new PictureMarks(
            fit switch { PictureFit.Similarity => PlaneFit.Similarity, PictureFit.Affine => PlaneFit.Affine, _ => PlaneFit.Homography },
            Points(archive), Points(ofBat), [.. pairs.Select(p => (p.Archive - 1, p.Bat - 1))], comparison.Frame.Width, comparison.Frame.Height,
            limits.Tolerance.InBase().ToDouble(), limits.PoseFraction.InBase().ToDouble(), limits.Region.Span().ToDouble(), tried);
        return PictureComparing.TryCompare(marks, out var result, out var refusal) ? (result, null) : (null, refusal);
    }

    static PicturePoint[] Points(LockedFeatures locked) => [.. locked.Marks.Select(m => new PicturePoint(m.X, m.Y))];
}
