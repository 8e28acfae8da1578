using System.Numerics;

namespace Custody.Evidence.Weight;

/// <summary>How a log10 is distributed: mass in cells of <see cref="BetaGrid.Step"/> from <paramref name="low"/> on.</summary>
sealed class Spread(double low, double[] mass)
{
    // Parts that a summand is brought to before it is added: 5 % and 95 % fall between parts.
    const int Parts = 40;

    /// <summary>Log10 of the lowest ratio told apart: whatever is lower counts as this.</summary>
    internal const double Floor = -5;

    /// <summary>How many quantiles of p an interval is averaged over.</summary>
    const int Nodes = 15;

    // Share of a tail that is cut.
    const double Negligible = 1e-5;

    double[]? parts;

    /// <summary>Nothing added: certainly 0.</summary>
    internal static Spread Nothing { get; } = new(-BetaGrid.Step / 2, [1]);

    /// <summary>
    /// What is known of log10(his own rate of the value / the population's) after counting: p has its Dirichlet posterior's Beta margin, and given p his
    /// own rate is Beta(k + A p, n - k + A (1 - p)). So p stands in both places, as the centre of his habits and as what they are compared with.
    /// </summary>
    internal static Spread OfRatio(double shown, double occasions, double shownByOthers, double players, int classes, double likeness)
    {
        var below = (int)Math.Round((Floor - BetaGrid.Floor) / BetaGrid.Step);
        var mass = new double[2 * BetaGrid.Cells + 2 - below];
        foreach (var log in BetaGrid.Quantiles(shownByOthers + 0.5, players - shownByOthers + (classes - 1) / 2.0, Nodes))
        {
            var p = Math.Pow(10, log);
            var his = BetaGrid.Masses(shown + likeness * p, occasions - shown + likeness * (1 - p));
            var (whole, part) = Whole(-log / BetaGrid.Step);
            var (here, next) = ((1 - part) / Nodes, part / Nodes);
            var floor = Math.Clamp(below - whole, 0, his.Length);
            for (var i = 0; i < floor; i++) mass[0] += his[i] / Nodes;
            for (var i = floor; i < his.Length; i++)
            {
                mass[i + whole - below] += his[i] * here;
                mass[i + whole - below + 1] += his[i] * next;
            }
        }
        return Trimmed(Floor, mass);
    }

    /// <summary>The value below which this share lies; even within a cell.</summary>
    internal double Quantile(double share)
    {
        double sum = 0;
        for (var i = 0; i < mass.Length; i++)
        {
            if (sum + mass[i] >= share && mass[i] > 0) return low + (i + (share - sum) / mass[i]) * BetaGrid.Step;
            sum += mass[i];
        }
        return low + mass.Length * BetaGrid.Step;
    }

    /// <summary>The sum with an independent one.</summary>
    internal Spread Plus(Spread other)
    {
        var shifts = other.InParts();
        var (least, most) = (shifts[0], shifts[^1]);
        var sum = new double[mass.Length + (int)Math.Ceiling((most - least) / BetaGrid.Step) + 2];
        foreach (var shift in shifts)
        {
            var (whole, part) = Whole((shift - least) / BetaGrid.Step);
            var (here, next) = ((1 - part) / Parts, part / Parts);
            AddTo(sum, whole, mass, here);
            AddTo(sum, whole + 1, mass, next);
        }
        return Trimmed(low + least, sum);
    }

    /// <summary>sum[at + i] += mass[i] * times, several at a time.</summary>
    static void AddTo(double[] sum, int at, double[] mass, double times)
    {
        var i = 0;
        for (; i + Vector<double>.Count <= mass.Length; i += Vector<double>.Count)
            (new Vector<double>(sum, at + i) + new Vector<double>(mass, i) * times).CopyTo(sum, at + i);
        for (; i < mass.Length; i++) sum[at + i] += mass[i] * times;
    }

    /// <summary>Without the long tails of next to nothing, whose mass goes to the cell where they are cut: no end of an interval lies there.</summary>
    static Spread Trimmed(double low, double[] mass)
    {
        var (first, last) = (0, mass.Length - 1);
        // Each step carries what was cut so far into the next cell, so a cell's mass is that of the whole tail up to it.
        for (; first < last && mass[first] < Negligible; first++) mass[first + 1] += mass[first];
        for (; first < last && mass[last] < Negligible; last--) mass[last - 1] += mass[last];
        return new Spread(low + first * BetaGrid.Step, mass[first..(last + 1)]);
    }

    /// <summary>Means of parts of equal probability, ascending.</summary>
    double[] InParts()
    {
        if (parts is not null) return parts;
        var means = new double[Parts];
        double left = 1.0 / Parts, sum = 0;
        var part = 0;
        for (var i = 0; i < mass.Length; i++)
        {
            var at = low + (i + 0.5) * BetaGrid.Step;
            for (var here = mass[i]; here > 0;)
            {
                var taken = part == Parts - 1 ? here : Math.Min(here, left);
                means[part] += taken * at;
                here -= taken;
                sum += taken;
                left -= taken;
                if (part < Parts - 1 && left <= 1e-15) (part, left) = (part + 1, 1.0 / Parts);
            }
        }
        // The last part takes what rounding left over, so that nothing is lost.
        for (var i = 0; i < Parts - 1; i++) means[i] *= Parts;
        means[^1] /= sum - (Parts - 1.0) / Parts;
        return parts = means;
    }

    static (int Whole, double Part) Whole(double cells)
    {
        var whole = (int)Math.Floor(cells);
        return (whole, cells - whole);
    }
}
