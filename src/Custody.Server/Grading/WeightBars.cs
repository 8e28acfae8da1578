using System.Globalization;
using Custody.Evidence.Weight;
using Custody.Server.Web.Pages;

namespace Custody.Server.Grading;

/// <summary>One line of the drawing: a name, where its bar ends and its interval, in the drawing's own units.</summary>
public sealed record WeightBar(string Name, double Y, double BarX, double BarWidth, double LowX, double HighX, bool For);

/// <summary>Contributions as bars to the right (for the proposition) and to the left (for the alternative) of a line that stands for neither. Every bar begins
/// at that line: they are drawn beside one another and never stacked.</summary>
public sealed class WeightBars
{
    public const double Width = 1000;

    const double Row = 52;
    const double Head = 34;
    const double Edge = 20;

    readonly double most;

    /// <param name="lines">Names with their weights, log10.</param>
    public WeightBars(IReadOnlyList<(string Name, RatioRange Weight)> lines)
    {
        most = Math.Max(1, Math.Ceiling(lines.SelectMany(l => new[] { Number(l.Weight.Low), Number(l.Weight.High) }).Select(Math.Abs).DefaultIfEmpty(0).Max()));
        Bars = [.. lines.Select((l, i) => Drawn(l.Name, l.Weight, i))];
        Height = Head + Row * lines.Count + 10;
    }

    public IReadOnlyList<WeightBar> Bars { get; }

    public double Height { get; }

    public double Zero => X(0);

    /// <summary>Lines of the scale: so many times for one side or the other.</summary>
    public IEnumerable<(string Times, double X)> Ticks => Enumerable.Range((int)-most, (int)(2 * most) + 1).Select(p => (p == 0 ? "neither" : WeightWords.Times(Math.Abs(p)), X(p)));

    public static string Text(double number) => UnrolledMap.Text(number);

    WeightBar Drawn(string name, RatioRange weight, int row)
    {
        var (at, zero) = (X(Number(weight.Log10)), X(0));
        return new(name, Head + Row * row + 22, Math.Min(at, zero), Math.Abs(at - zero), X(Number(weight.Low)), X(Number(weight.High)), at >= zero);
    }

    double X(double log10) => Edge + (Math.Clamp(log10, -most, most) + most) / (2 * most) * (Width - 2 * Edge);

    static double Number(string log10) => double.Parse(log10, CultureInfo.InvariantCulture);
}
