namespace Custody.Evidence;

/// <summary>A point of a picture, in widths of the frame that is searched in the archive picture.</summary>
public readonly record struct PicturePoint(double X, double Y);

/// <summary>How the bat's picture is laid on the archive picture.</summary>
public enum PlaneFit
{
    /// <summary>Shift, turn and size: 4 parameters, fixed by 2 points.</summary>
    Similarity,

    /// <summary>Slant and stretch too: 6 parameters, fixed by 3 points.</summary>
    Affine,

    /// <summary>A plane seen in perspective: 8 parameters, fixed by 4 points.</summary>
    Homography,
}

/// <summary>A map of the plane: nine numbers of a 3 by 3 matrix, row by row, the last 1 unless that is impossible.</summary>
public sealed record PlaneMap(IReadOnlyList<double> Matrix)
{
    /// <summary>Where a point goes.</summary>
    public PicturePoint Of(PicturePoint p)
    {
        var w = Matrix[6] * p.X + Matrix[7] * p.Y + Matrix[8];
        return new PicturePoint((Matrix[0] * p.X + Matrix[1] * p.Y + Matrix[2]) / w, (Matrix[3] * p.X + Matrix[4] * p.Y + Matrix[5]) / w);
    }
}

/// <summary>
/// Least squares of the distances in the archive picture. Similarity in closed form, without reflection (Umeyama, Least-squares estimation of
/// transformation parameters, 1991); affine by the normal equations; homography by the normalised direct linear transform (Hartley, In defense
/// of the eight-point algorithm, 1997), then Gauss and Newton's steps.
/// </summary>
static class PictureFits
{
    public static int Parameters(PlaneFit fit) => fit switch { PlaneFit.Similarity => 4, PlaneFit.Affine => 6, _ => 8 };

    /// <summary>Points that fix the map.</summary>
    public static int Fixing(PlaneFit fit) => Parameters(fit) / 2;

    /// <summary>Pairs below which no residual is worth showing.</summary>
    public static int Fewest(PlaneFit fit) => fit switch { PlaneFit.Similarity => 3, PlaneFit.Affine => 4, _ => 8 };

    /// <summary>The best map; null when the points do not fix one. At the fixing number of points it passes through them.</summary>
    public static PlaneMap? Fit(PlaneFit fit, IReadOnlyList<PicturePoint> from, IReadOnlyList<PicturePoint> to) => fit switch
    {
        PlaneFit.Similarity => Similarity(from, to),
        PlaneFit.Affine => Affine(from, to),
        _ => Homographies.Fit(from, to),
    };

    static PlaneMap? Similarity(IReadOnlyList<PicturePoint> from, IReadOnlyList<PicturePoint> to)
    {
        var (a, b) = (Middle(from), Middle(to));
        double re = 0, im = 0, spread = 0;
        for (var i = 0; i < from.Count; i++)
        {
            var (x, y, u, v) = (from[i].X - a.X, from[i].Y - a.Y, to[i].X - b.X, to[i].Y - b.Y);
            re += x * u + y * v;
            im += x * v - y * u;
            spread += x * x + y * y;
        }
        if (spread < 1e-18)
            return null;
        var (c, s) = (re / spread, im / spread);
        return new PlaneMap([c, -s, b.X - c * a.X + s * a.Y, s, c, b.Y - s * a.X - c * a.Y, 0, 0, 1]);
    }

    static PlaneMap? Affine(IReadOnlyList<PicturePoint> from, IReadOnlyList<PicturePoint> to)
    {
        var (a, b) = (Middle(from), Middle(to));
        double xx = 0, xy = 0, yy = 0, xu = 0, yu = 0, xv = 0, yv = 0;
        for (var i = 0; i < from.Count; i++)
        {
            var (x, y, u, v) = (from[i].X - a.X, from[i].Y - a.Y, to[i].X - b.X, to[i].Y - b.Y);
            (xx, xy, yy) = (xx + x * x, xy + x * y, yy + y * y);
            (xu, yu, xv, yv) = (xu + x * u, yu + y * u, xv + x * v, yv + y * v);
        }
        var det = xx * yy - xy * xy;
        if (det <= 1e-12 * (xx + yy) * (xx + yy))
            return null;
        var (p, q) = ((yy * xu - xy * yu) / det, (xx * yu - xy * xu) / det);
        var (r, s) = ((yy * xv - xy * yv) / det, (xx * yv - xy * xv) / det);
        return new PlaneMap([p, q, b.X - p * a.X - q * a.Y, r, s, b.Y - r * a.X - s * a.Y, 0, 0, 1]);
    }

    public static PicturePoint Middle(IReadOnlyList<PicturePoint> points) => new(points.Average(p => p.X), points.Average(p => p.Y));

    public static double Distance(PicturePoint a, PicturePoint b) => Math.Sqrt((a.X - b.X) * (a.X - b.X) + (a.Y - b.Y) * (a.Y - b.Y));

    /// <summary>How far the points stray from their best line at most, as a part of how far they reach along it; 0 for points on a line.</summary>
    public static double Breadth(IReadOnlyList<PicturePoint> points)
    {
        var m = Middle(points);
        double xx = 0, xy = 0, yy = 0;
        foreach (var p in points)
            (xx, xy, yy) = (xx + (p.X - m.X) * (p.X - m.X), xy + (p.X - m.X) * (p.Y - m.Y), yy + (p.Y - m.Y) * (p.Y - m.Y));
        var turn = Math.Atan2(2 * xy, xx - yy) / 2;
        var (c, s) = (Math.Cos(turn), Math.Sin(turn));
        var along = points.Max(p => Math.Abs((p.X - m.X) * c + (p.Y - m.Y) * s));
        return along < 1e-12 ? 0 : points.Max(p => Math.Abs((p.Y - m.Y) * c - (p.X - m.X) * s)) / along;
    }
}
