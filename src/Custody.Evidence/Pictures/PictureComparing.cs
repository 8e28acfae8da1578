using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>What a comparison of two pictures rests on. Tolerance, pose fraction and region stand before anything is marked.</summary>
/// <param name="Fit">How the bat's picture is laid on the archive picture.</param>
/// <param name="Archive">Points marked on the archive picture, in pixels.</param>
/// <param name="Bat">Points marked on the bat's picture, in pixels.</param>
/// <param name="Pairs">Which belong together: places in the two lists, from 0.</param>
/// <param name="FrameWidth">Width of the part of the archive picture that is searched, in pixels.</param>
/// <param name="FrameHeight">Its height.</param>
/// <param name="Tolerance">How far two marks may lie apart and still agree, in widths of the frame.</param>
/// <param name="PoseFraction">Part of all poses allowed; 1 unless the camera's angle is justified.</param>
/// <param name="RegionDegrees">How far round the bat the region goes.</param>
/// <param name="Tried">Every picture, region and tolerance tried, multiplied.</param>
public sealed record PictureMarks(
    PlaneFit Fit, IReadOnlyList<PicturePoint> Archive, IReadOnlyList<PicturePoint> Bat, IReadOnlyList<(int Archive, int Bat)> Pairs, int FrameWidth,
    int FrameHeight, double Tolerance, double PoseFraction, double RegionDegrees, long Tried);

/// <summary>One pair as fitted, for drawing: pixels of the archive picture to one place.</summary>
/// <param name="Pair">Its place in the list, from 1.</param>
/// <param name="X">Where the bat's point falls on the archive picture.</param>
/// <param name="Y">Likewise.</param>
/// <param name="Residual">Distance from the archive's point, in widths of the frame, to four places.</param>
/// <param name="LeaveOneOut">The same when the pair itself is left out of the fit.</param>
/// <param name="Agrees">Within the tolerance under the map that most pairs agree with.</param>
public sealed record FittedPair(int Pair, DecimalText X, DecimalText Y, DecimalText Residual, DecimalText LeaveOneOut, bool Agrees);

/// <summary>What a comparison gives. Never "a different bat".</summary>
/// <param name="Method">Name and version of the method.</param>
/// <param name="Sigma">Square root of SSE / (2n - p), in widths of the frame, to four places.</param>
/// <param name="LeaveOneOut">Median leave-one-out error, likewise.</param>
/// <param name="WorstPair">Place of the pair with the largest leave-one-out error, from 1.</param>
/// <param name="Agreeing">Pairs within the tolerance under the best map fixed by as few pairs as fix one.</param>
/// <param name="FalseAlarms">The bound on accidental configurations, two figures.</param>
/// <param name="FalseAlarmsAll">The same times everything tried.</param>
/// <param name="SameSurface">True: "These show the same wood surface". False: inconclusive.</param>
/// <param name="Map">The fitted map from the bat's pixels to the archive's, nine numbers, row by row, to nine places.</param>
/// <param name="Pairs">Pair by pair.</param>
public sealed record PictureResult(
    string Method, DecimalText Sigma, DecimalText LeaveOneOut, int WorstPair, int Agreeing, DecimalText FalseAlarms, DecimalText FalseAlarmsAll,
    bool SameSurface, IReadOnlyList<DecimalText> Map, IReadOnlyList<FittedPair> Pairs)
{
    /// <summary>All that may be said.</summary>
    public string Words => SameSurface ? "These show the same wood surface." : "Inconclusive.";
}

/// <summary>Compares marked points of an archive picture and a picture of the bat.</summary>
public static class PictureComparing
{
    /// <summary>Name and version of the method, to stand beside each result.</summary>
    public const string Method = "picture-fit/1";

    /// <summary>The widest region in degrees: beyond it the round is seen too obliquely for a plane. Common practice.</summary>
    public const double WidestRegion = 25;

    /// <summary>
    /// The bound times everything tried must lie below this before the words are said: one accident in a hundred such searches. Common practice; the
    /// method's authors call anything below 1 meaningful.
    /// </summary>
    public static DecimalText Enough { get; } = DecimalText.Parse("0.01");

    /// <summary>Sets of fixing pairs tried at most; fewer than all can only make the result weaker.</summary>
    const int MostSets = 5_000;

    /// <summary>
    /// Fits and bounds. Refuses <c>fit-range</c> (frame, tolerance, pose or tries out of range), <c>region-too-wide</c>, <c>pair-of-nothing</c> (a pair
    /// names no point, or a point twice), <c>fit-too-few</c> (pairs), <c>fit-on-a-line</c> (all points within the tolerance of one line) and
    /// <c>fit-leans-on-one</c> (without one pair the rest fix nothing).
    /// </summary>
    public static bool TryCompare(PictureMarks marks, [NotNullWhen(true)] out PictureResult? result, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        result = null;
        refusal = Refusal(marks);
        if (refusal is not null)
            return false;
        var from = marks.Pairs.Select(p => Scaled(marks, marks.Bat[p.Bat])).ToList();
        var to = marks.Pairs.Select(p => Scaled(marks, marks.Archive[p.Archive])).ToList();
        // Points that stray from a line by no more than marking errs tell nothing across it.
        if (PictureFits.Breadth(to) * Reach(to) <= marks.Tolerance || PictureFits.Breadth(from) * Reach(to) <= marks.Tolerance)
            refusal = new("fit-on-a-line", "All points lie on one line, as far as marking can tell.", "Mark features off the line, on both sides of it.");
        else if (PictureFits.Fit(marks.Fit, from, to) is not { } map || LeftOut(marks.Fit, from, to) is not { } left)
            refusal = new("fit-leans-on-one", "Without one of the pairs the rest do not fix the fit.", "Find more pairs, or take a simpler fit.");
        else
            result = Of(marks, from, to, map, left);
        return refusal is null;
    }

    static EvidenceRefusal? Refusal(PictureMarks m) =>
        m.FrameWidth <= 0 || m.FrameHeight <= 0 || !(m.Tolerance is > 0 and <= 1) || !(m.PoseFraction is > 0 and <= 1) || m.Tried < 1
            ? new("fit-range", "The frame is empty, or tolerance, pose fraction or number of tries is out of range.", "Fractions are above 0 and at most 1; count at least one try.")
        : !(m.RegionDegrees <= WidestRegion) ? new("region-too-wide", "The region is wider than 25 degrees of the round.", "Choose a narrower one, or compare several.")
        : m.Pairs.Any(p => p.Archive < 0 || p.Archive >= m.Archive.Count || p.Bat < 0 || p.Bat >= m.Bat.Count)
            || m.Pairs.DistinctBy(p => p.Archive).Count() != m.Pairs.Count || m.Pairs.DistinctBy(p => p.Bat).Count() != m.Pairs.Count
            ? new("pair-of-nothing", "A pair names a point that was not marked, or a point stands in two pairs.", "Pair each marked point at most once.")
        : m.Pairs.Count < PictureFits.Fewest(m.Fit)
            ? new("fit-too-few", $"This fit needs at least {PictureFits.Fewest(m.Fit)} pairs.", "Find more pairs, or take a simpler fit.") : null;

    static PicturePoint Scaled(PictureMarks marks, PicturePoint point) => new(point.X / marks.FrameWidth, point.Y / marks.FrameWidth);

    static double Reach(List<PicturePoint> points)
    {
        var middle = PictureFits.Middle(points);
        return points.Max(p => PictureFits.Distance(p, middle));
    }

    /// <summary>Each pair's error under the fit to all others; null when some fit does not exist.</summary>
    static List<double>? LeftOut(PlaneFit fit, List<PicturePoint> from, List<PicturePoint> to)
    {
        var errors = new List<double>();
        for (var i = 0; i < from.Count; i++)
        {
            if (PictureFits.Fit(fit, [.. from.Where((_, j) => j != i)], [.. to.Where((_, j) => j != i)]) is not { } map
                || PictureFits.Distance(map.Of(from[i]), to[i]) is var error && !double.IsFinite(error))
                return null;
            errors.Add(error);
        }
        return errors;
    }

    static PictureResult Of(PictureMarks marks, List<PicturePoint> from, List<PicturePoint> to, PlaneMap map, List<double> left)
    {
        var residuals = from.Zip(to, (p, q) => PictureFits.Distance(map.Of(p), q)).ToList();
        var freedom = 2 * from.Count - PictureFits.Parameters(marks.Fit);
        var agrees = Agreeing(marks, from, to);
        var count = agrees.Count(a => a);
        var bound = FalseAlarms.Bound(marks.Bat.Count, marks.Archive.Count, PictureFits.Fixing(marks.Fit), count, marks.Tolerance, marks.PoseFraction,
            (double)marks.FrameHeight / marks.FrameWidth);
        var (one, all) = (FalseAlarms.TwoFigures(bound), FalseAlarms.TwoFigures(bound * marks.Tried));
        return new PictureResult(Method, Four(Math.Sqrt(residuals.Sum(r => r * r) / freedom)), Four(Median(left)), left.IndexOf(left.Max()) + 1, count, one, all,
            all < Enough, [.. Pixels(map, marks.FrameWidth).Select(h => DecimalText.Computed(h, 9))],
            [.. from.Select((p, i) => (At: map.Of(p), i)).Select(p => new FittedPair(p.i + 1, DecimalText.Computed(p.At.X * marks.FrameWidth, 1),
                DecimalText.Computed(p.At.Y * marks.FrameWidth, 1), Four(residuals[p.i]), Four(left[p.i]), agrees[p.i]))]);
    }

    static DecimalText Four(double value) => DecimalText.Computed(value, 4);

    static double Median(List<double> values)
    {
        var sorted = values.Order().ToList();
        return sorted.Count % 2 == 1 ? sorted[sorted.Count / 2] : (sorted[sorted.Count / 2 - 1] + sorted[sorted.Count / 2]) / 2;
    }

    // The bound is about maps fixed by k pairs, so agreement is counted under such a map and not under the fit that all pairs pulled at.
    static bool[] Agreeing(PictureMarks marks, List<PicturePoint> from, List<PicturePoint> to)
    {
        var k = PictureFits.Fixing(marks.Fit);
        bool[]? best = null;
        foreach (var set in Sets(from.Count, k).Take(MostSets))
        {
            if (PictureFits.Fit(marks.Fit, [.. set.Select(i => from[i])], [.. set.Select(i => to[i])]) is not { } map)
                continue;
            var agrees = from.Select((p, i) => set.Contains(i) || PictureFits.Distance(map.Of(p), to[i]) <= marks.Tolerance).ToArray();
            if (best is null || agrees.Count(a => a) > best.Count(a => a))
                best = agrees;
        }
        return best ?? [.. from.Select((_, i) => i < k)];
    }

    static IEnumerable<int[]> Sets(int n, int k)
    {
        var set = Enumerable.Range(0, k).ToArray();
        while (true)
        {
            yield return [.. set];
            var i = k - 1;
            while (i >= 0 && set[i] == n - k + i)
                i--;
            if (i < 0)
                yield break;
            set[i]++;
            for (var j = i + 1; j < k; j++)
                set[j] = set[j - 1] + 1;
        }
    }

    // A map between points in widths, said of pixels: scale up after, down before.
    static IEnumerable<double> Pixels(PlaneMap map, int width) =>
        map.Matrix.Select((h, i) => i is 2 or 5 ? h * width : i is 6 or 7 ? h / width : h);
}
