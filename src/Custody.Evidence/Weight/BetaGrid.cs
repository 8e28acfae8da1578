using MathNet.Numerics;

namespace Custody.Evidence.Weight;

/// <summary>A Beta distribution laid out in cells of equal width in log10, so that rates of one in a thousand are seen as sharply as even ones.</summary>
/// <remarks>
/// Chosen over sampling (it must recompute to the same digits) and over the delta method (for a value he never showed the log of his rate is far from
/// normal). A cell's mass is density at its middle times width, which is exact enough because the density in log scale is smooth; the two end cells,
/// where it may be singular, are incomplete beta functions (NIST Digital Library of Mathematical Functions 8.17): the last as such, the first by its leading term.
/// </remarks>
static class BetaGrid
{
    /// <summary>Width of a cell in log10.</summary>
    internal const double Step = 0.02;

    /// <summary>Log10 of the lowest rate told apart; anything below counts as this.</summary>
    internal const double Floor = -8;

    internal const int Cells = 400;

    static readonly double[] Logs = [.. Enumerable.Range(0, Cells).Select(i => Middle(i) * Math.Log(10))];
    static readonly double[] LogsOfRest = [.. Logs.Select(l => Math.Log(1 - Math.Exp(l)))];

    // Rates below 1e-5: the other factor of the density differs from 1 by less than counts of any file can make matter.
    const int Small = 150;

    // Values that fall below a cell's share of 1e-16 of the largest are not worth an exponential.
    const double Negligible = -37;

    /// <summary>Log10 of the middle of a cell.</summary>
    internal static double Middle(int cell) => Floor + (cell + 0.5) * Step;

    /// <summary>Mass of each cell of Beta(a, b), summing to 1.</summary>
    internal static double[] Masses(double a, double b)
    {
        var mass = new double[Cells];
        var scale = Math.Log(Step * Math.Log(10)) + SpecialFunctions.GammaLn(a + b) - SpecialFunctions.GammaLn(a) - SpecialFunctions.GammaLn(b);
        double sum = 0;
        // Far below 1 the density is a power of the rate, and equal steps in log make it a geometric series.
        var (power, ratio) = (Math.Exp(scale + a * Logs[1]), Math.Exp(a * (Logs[1] - Logs[0])));
        for (var i = 1; i < Small; i++, power *= ratio) sum += mass[i] = power * (1 + (b - 1) * LogsOfRest[i]);
        for (var i = Small; i < Cells - 1; i++)
        {
            var log = scale + a * Logs[i] + (b - 1) * LogsOfRest[i];
            if (log > Negligible) sum += mass[i] = Math.Exp(log);
        }
        // So near 0 the other factor of the density is 1 to eight places.
        sum += mass[0] = Math.Exp(a * (Floor + Step) * Math.Log(10) - Math.Log(a) + scale - Math.Log(Step * Math.Log(10)));
        sum += mass[Cells - 1] = SpecialFunctions.BetaRegularized(b, a, 1 - Math.Pow(10, -Step));
        for (var i = 0; i < Cells; i++) mass[i] /= sum;
        return mass;
    }

    /// <summary>Log10 of the middles of <paramref name="count"/> parts of equal probability.</summary>
    internal static double[] Quantiles(double a, double b, int count)
    {
        var spread = new Spread(Floor, Masses(a, b));
        return [.. Enumerable.Range(0, count).Select(i => spread.Quantile((i + 0.5) / count))];
    }
}
