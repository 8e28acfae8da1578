namespace Custody.Benchmarks;

/// <summary>How a cost grows.</summary>
static class Fit
{
    /// <summary>b of cost = a * size^b, by least squares over the logarithms: 0 means that size does not matter, 1 that twice the size costs twice as much.</summary>
    public static double Exponent(IReadOnlyCollection<(double Size, double Cost)> points)
    {
        var (x, y) = (points.Average(p => Math.Log(p.Size)), points.Average(p => Math.Log(p.Cost)));
        return points.Sum(p => (Math.Log(p.Size) - x) * (Math.Log(p.Cost) - y)) / points.Sum(p => Math.Pow(Math.Log(p.Size) - x, 2));
    }
}
