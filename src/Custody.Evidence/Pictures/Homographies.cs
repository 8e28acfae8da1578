using MathNet.Numerics.LinearAlgebra;

namespace Custody.Evidence;

/// <summary>Least-squares homographies: Hartley's normalised direct linear transform as the start, Gauss and Newton's steps to the least distances.</summary>
static class Homographies
{
    const int MostSteps = 50;

    public static PlaneMap? Fit(IReadOnlyList<PicturePoint> from, IReadOnlyList<PicturePoint> to)
    {
        if (from.Count < 4 || Normal(from) is not { } a || Normal(to) is not { } b)
            return null;
        var start = Direct([.. from.Select(p => Put(a, p))], [.. to.Select(p => Put(b, p))]);
        if (start is null)
            return null;
        // Back from normalised points: inverse(b) * start * a.
        var map = Inverse(b) * start * Matrix(a);
        if (Scaled(map) is not { } first)
            return null;
        return from.Count == 4 ? first : Refined(first, from, to);
    }

    // Middle at 0 and mean distance the square root of 2 (Hartley 1997, section 4).
    static (double Scale, double X, double Y)? Normal(IReadOnlyList<PicturePoint> points)
    {
        var middle = PictureFits.Middle(points);
        var mean = points.Average(p => PictureFits.Distance(p, middle));
        return mean < 1e-12 ? null : (Math.Sqrt(2) / mean, middle.X, middle.Y);
    }

    static PicturePoint Put((double Scale, double X, double Y) n, PicturePoint p) => new(n.Scale * (p.X - n.X), n.Scale * (p.Y - n.Y));

    static Matrix<double> Matrix((double Scale, double X, double Y) n) =>
        Matrix<double>.Build.DenseOfArray(new[,] { { n.Scale, 0, -n.Scale * n.X }, { 0, n.Scale, -n.Scale * n.Y }, { 0, 0, 1 } });

    static Matrix<double> Inverse((double Scale, double X, double Y) n) =>
        Matrix<double>.Build.DenseOfArray(new[,] { { 1 / n.Scale, 0, n.X }, { 0, 1 / n.Scale, n.Y }, { 0, 0, 1 } });

    /// <summary>The null vector of the 2n by 9 system, as a matrix; null when more than one direction of it is free.</summary>
    static Matrix<double>? Direct(List<PicturePoint> from, List<PicturePoint> to)
    {
        var rows = Matrix<double>.Build.Dense(2 * from.Count, 9);
        for (var i = 0; i < from.Count; i++)
        {
            var (x, y, u, v) = (from[i].X, from[i].Y, to[i].X, to[i].Y);
            rows.SetRow(2 * i, [x, y, 1, 0, 0, 0, -u * x, -u * y, -u]);
            rows.SetRow(2 * i + 1, [0, 0, 0, x, y, 1, -v * x, -v * y, -v]);
        }
        // The square of the system is 9 by 9 and symmetric whatever the number of points; its smallest eigenvector is the answer.
        var eigen = rows.TransposeThisAndMultiply(rows).Evd(Symmetricity.Symmetric);
        var values = eigen.EigenValues;
        if (values[1].Real < 1e-10 * values[8].Real)
            return null;
        var h = eigen.EigenVectors.Column(0);
        return Matrix<double>.Build.DenseOfRowMajor(3, 3, h);
    }

    static PlaneMap? Scaled(Matrix<double> map) =>
        Math.Abs(map[2, 2]) < 1e-12 * map.L2Norm() ? null : new PlaneMap([.. map.EnumerateRows().SelectMany(r => r).Select(x => x / map[2, 2])]);

    static PlaneMap? Refined(PlaneMap map, IReadOnlyList<PicturePoint> from, IReadOnlyList<PicturePoint> to)
    {
        var error = Error(map, from, to);
        for (var step = 0; step < MostSteps; step++)
        {
            if (Step(map, from, to) is not { } change)
                return null;
            var (next, size) = (map, 1.0);
            var less = error;
            // Shorter steps while a whole one makes it worse.
            for (; size > 1e-6; size /= 2)
            {
                next = new PlaneMap([.. map.Matrix.Take(8).Select((h, i) => h + size * change[i]), 1]);
                less = Error(next, from, to);
                if (less <= error)
                    break;
            }
            if (!(less <= error))
                return map;
            var done = error - less <= 1e-14 * error && change.L2Norm() < 1e-10;
            (map, error) = (next, less);
            if (done)
                break;
        }
        return map;
    }

    static double Error(PlaneMap map, IReadOnlyList<PicturePoint> from, IReadOnlyList<PicturePoint> to) =>
        from.Zip(to, (p, q) => PictureFits.Distance(map.Of(p), q)).Sum(d => d * d);

    static Vector<double>? Step(PlaneMap map, IReadOnlyList<PicturePoint> from, IReadOnlyList<PicturePoint> to)
    {
        var slopes = Matrix<double>.Build.Dense(2 * from.Count, 8);
        var rest = Vector<double>.Build.Dense(2 * from.Count);
        for (var i = 0; i < from.Count; i++)
        {
            var (p, q) = (from[i], map.Of(from[i]));
            var w = map.Matrix[6] * p.X + map.Matrix[7] * p.Y + 1;
            slopes.SetRow(2 * i, [p.X / w, p.Y / w, 1 / w, 0, 0, 0, -q.X * p.X / w, -q.X * p.Y / w]);
            slopes.SetRow(2 * i + 1, [0, 0, 0, p.X / w, p.Y / w, 1 / w, -q.Y * p.X / w, -q.Y * p.Y / w]);
            (rest[2 * i], rest[2 * i + 1]) = (to[i].X - q.X, to[i].Y - q.Y);
        }
        var step = slopes.QR().Solve(rest);
        return step.All(double.IsFinite) ? step : null;
    }
}
