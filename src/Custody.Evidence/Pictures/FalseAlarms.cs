using System.Globalization;

namespace Custody.Evidence;

/// <summary>
/// A bound on how many accidental configurations as good as this one are to be expected over all pairings (a contrario: Moisan and Stival, A
/// probabilistic criterion to detect rigid point matches, 2004; from memory), under independent points spread evenly over the frame. It is not
/// the probability that the bat is right, and points along grain lines void it.
/// </summary>
public static class FalseAlarms
{
    /// <summary>
    /// NFA = f C(mA, k) P(mB, k) Pr[Binomial(mA - k, p0) >= n - k], with p0 = 1 - exp(-mB pi t^2 / area).
    /// </summary>
    /// <param name="marksA">Points marked on the picture that is laid on the other, mA.</param>
    /// <param name="marksB">Points marked on the picture it is laid on, mB.</param>
    /// <param name="fixing">Points that fix the map, k: 2, 3 or 4.</param>
    /// <param name="agreeing">Pairs that agree within the tolerance, n, those that fix it among them.</param>
    /// <param name="tolerance">t, in widths of the frame.</param>
    /// <param name="poseFraction">f, above 0 and at most 1.</param>
    /// <param name="area">The frame's area in squares of its width: its height over its width.</param>
    /// <exception cref="ArgumentOutOfRangeException">Fewer marks or agreeing pairs than fix the map, or a number outside its range.</exception>
    public static double Bound(int marksA, int marksB, int fixing, int agreeing, double tolerance, double poseFraction, double area = 1)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(Math.Min(marksA, marksB), fixing);
        ArgumentOutOfRangeException.ThrowIfLessThan(agreeing, fixing);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(agreeing, Math.Min(marksA, marksB));
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(Math.Min(area, Math.Min(tolerance, poseFraction)));
        var chance = 1 - Math.Exp(-marksB * Math.PI * tolerance * tolerance / area);
        return poseFraction * Choose(marksA, fixing) * Choose(marksB, fixing) * Factorial(fixing) * Tail(marksA - fixing, chance, agreeing - fixing);
    }

    /// <summary>Pr[Binomial(n, p) >= k], its terms added from the smallest.</summary>
    internal static double Tail(int n, double p, int k)
    {
        if (k <= 0)
            return 1;
        var terms = Enumerable.Range(k, Math.Max(0, n - k + 1)).Select(i => Choose(n, i) * Math.Pow(p, i) * Math.Pow(1 - p, n - i));
        return Math.Min(1, terms.Order().Sum());
    }

    static double Choose(int n, int k)
    {
        var result = 1.0;
        for (var i = 1; i <= k; i++)
            result = result * (n - k + i) / i;
        return result;
    }

    static double Factorial(int k) => Enumerable.Range(1, k).Aggregate(1.0, (a, b) => a * b);

    /// <summary>A small number in plain decimal form with two figures, half away from zero; never below <see cref="Least"/>.</summary>
    internal static DecimalText TwoFigures(double value)
    {
        if (value < 1e-20)
            return Least;
        if (value >= 1e15)
            return DecimalText.Parse(value.ToString("F0", CultureInfo.InvariantCulture));
        var order = (int)Math.Floor(Math.Log10(value));
        var text = DecimalText.Parse(((decimal)value).ToString("F" + Math.Max(0, 1 - order).ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture));
        // 0.0009995 rounds up into one figure more.
        return order < 0 && text.ToDouble() >= Math.Pow(10, order + 1) ? text.Round(-order, Rounding.HalfAwayFromZero) : text;
    }

    /// <summary>Stands for anything smaller.</summary>
    internal static DecimalText Least { get; } = DecimalText.Parse("0.00000000000000000001");
}
