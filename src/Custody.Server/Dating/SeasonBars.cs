using System.Globalization;
using Custody.Evidence;
using Custody.Ledger;
using Custody.Server.Web.Pages;

namespace Custody.Server.Dating;

/// <summary>One run of a line: where it begins and ends in the drawing, and whether an end is open.</summary>
public sealed record SeasonRunDrawn(double X, double Width, bool OpenAtStart, bool OpenAtEnd);

/// <summary>One line: a dated fact, or what the facts leave.</summary>
/// <param name="Kind">Class in the style: hard, usual, player, left.</param>
public sealed record SeasonLine(string Name, string Kind, double Y, IReadOnlyList<SeasonRunDrawn> Runs);

/// <summary>Dated facts as bars over the years, and the seasons they leave under them.</summary>
public sealed class SeasonBars
{
    public const double Width = 1000;

    const double Edge = 20;
    const double Head = 30;
    const double Row = 44;
    const double DaysOfAYear = 365.25;

    readonly double first, last;

    public SeasonBars(SeasonsReport report)
    {
        // Lines as spans of years; null where an end is open.
        List<(string Name, string Kind, IReadOnlyList<(double? From, double? To)> Runs)> lines =
        [
            .. report.Facts.Select(f => ($"{f.Id}: {Words.Of(f.Moment.ToString())}{(f.IsUsual ? ", usual" : "")}{(f.IsAboutPlayer ? ", of the player" : "")}",
                f.IsAboutPlayer ? "player" : f.IsUsual ? "usual" : "hard", (IReadOnlyList<(double?, double?)>)[.. f.Days.Select(d => (Years(d.First), Years(d.Last)))])),
            ("left for the bat alone", "left", Spans(report.BatAlone)), ("left if the player used it", "left", Spans(report.UnderPlayer)),
        ];
        var ends = lines.SelectMany(l => l.Runs).SelectMany(r => new[] { r.From, r.To }).OfType<double>().ToList();
        (first, last) = ends.Count == 0 ? (1900, 2000) : (Math.Floor(ends.Min()) - 2, Math.Ceiling(ends.Max()) + 2);
        Lines = [.. lines.Select((l, i) => new SeasonLine(l.Name, l.Kind, Head + Row * i + 20, [.. l.Runs.Select(Drawn)]))];
        Height = Head + Row * lines.Count + 8;
    }

    public IReadOnlyList<SeasonLine> Lines { get; }

    public double Height { get; }

    public IEnumerable<(string Year, double X)> Ticks
    {
        get
        {
            var step = (last - first) switch { < 25 => 2, < 60 => 5, < 130 => 10, _ => 25 };
            for (var year = (int)Math.Ceiling(first / step) * step; year <= last; year += step) yield return (year.ToString(CultureInfo.InvariantCulture), X(year));
        }
    }

    public static string Text(double number) => UnrolledMap.Text(number);

    SeasonRunDrawn Drawn((double? From, double? To) run)
    {
        var (from, to) = (X(run.From ?? first), X(run.To ?? last));
        return new(from, Math.Max(3, to - from), run.From is null, run.To is null);
    }

    double X(double year) => Edge + (Math.Clamp(year, first, last) - first) / (last - first) * (Width - 2 * Edge);

    // A season is drawn through the end of its year.
    static IReadOnlyList<(double?, double?)> Spans(SeasonsView view) => [.. view.Hard.Select(r => ((double?)r.First, (double?)(r.Last + 1)))];

    static double? Years(string? day) =>
        day is null ? null : DateOnly.TryParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var date) ? date.Year + (date.DayOfYear - 1) / DaysOfAYear : null;
}
