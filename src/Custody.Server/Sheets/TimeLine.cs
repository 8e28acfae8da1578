using System.Globalization;
using Custody.Evidence;

namespace Custody.Server.Sheets;

/// <summary>Days along a line. The time between two days that are written somewhere is drawn as wide as the root of its length, so that the week of a
/// hand-over can be seen beside the forty years before it; the order of days is never changed.</summary>
public sealed class TimeLine
{
    // Two days that differ are never drawn on one spot: roots of days, so 6 is as wide as five weeks.
    const double Least = 6;

    readonly long[] days;
    readonly double[] at;

    TimeLine(long[] days, double[] at) => (this.days, this.at) = (days, at);

    /// <summary>A line on which these days (<see cref="Day.Number"/>) stand.</summary>
    /// <param name="left">Where it begins.</param>
    /// <param name="width">How long it is.</param>
    public static TimeLine Of(IEnumerable<long> days, double left, double width)
    {
        long[] sorted = [.. days.Distinct().Order()];
        if (sorted.Length == 0) return new([0], [left]);
        var at = new double[sorted.Length];
        for (var i = 1; i < sorted.Length; i++) at[i] = at[i - 1] + Math.Sqrt(sorted[i] - sorted[i - 1]) + Least;
        var whole = at[^1] > 0 ? width / at[^1] : 0;
        return new(sorted, [.. at.Select(a => left + (a * whole))]);
    }

    /// <summary>Where a day stands; days beyond the line at its ends.</summary>
    public double At(long day)
    {
        if (day <= days[0]) return at[0];
        if (day >= days[^1]) return at[^1];
        var next = Array.BinarySearch(days, day);
        if (next >= 0) return at[next];
        next = ~next;
        var part = (double)(day - days[next - 1]) / (days[next] - days[next - 1]);
        return at[next - 1] + (part * (at[next] - at[next - 1]));
    }

    /// <summary>Years to write under the line, each where its first written day stands, none nearer to another than <paramref name="apart"/>.</summary>
    public IEnumerable<Tick> Years(double apart)
    {
        var (year, last) = (long.MinValue, double.NegativeInfinity);
        foreach (var (day, x) in days.Zip(at))
        {
            var of = new Day(day).Date.Year;
            if (of == year || x - last < apart) continue;
            (year, last) = (of, x);
            yield return new(x, of.ToString(CultureInfo.InvariantCulture));
        }
    }
}

/// <summary>Something written under a line.</summary>
public sealed record Tick(double X, string Text);
