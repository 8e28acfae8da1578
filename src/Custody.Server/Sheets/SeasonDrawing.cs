using System.Globalization;
using Custody.Evidence;
using Custody.Ledger;

namespace Custody.Server.Sheets;

/// <summary>Draws feasible seasons: each dated fact as the days it allows, and below them what is left.</summary>
public static class SeasonDrawing
{
    public static Lanes Of(SeasonsReport report)
    {
        List<(string Label, string Look, IEnumerable<(long? First, long? Last)> Runs)> rows =
        [
            .. report.Facts.Select(f => ($"{Words.Of(f.Moment.ToString())} {string.Join(", ", f.Written)}", f.IsUsual ? "usual" : "hard",
                f.Days.Select(d => (DayOf(d.First), DayOf(d.Last))))),
            ("Left for the bat alone", "result", Years(report.BatAlone.Hard)),
        ];
        if (report.Facts.Any(f => f.IsAboutPlayer)) rows.Add(("Left if this player used it", "result", Years(report.UnderPlayer.Hard)));
        var bounds = rows.SelectMany(r => r.Runs).SelectMany(r => new[] { r.First, r.Last }).OfType<long>().ToList();
        // What nothing limits is drawn a little further than everything else reaches.
        const long Beyond = 730;
        var (from, to) = bounds.Count == 0 ? (0, 0) : (bounds.Min() - Beyond, bounds.Max() + Beyond);
        var line = TimeLine.Of([from, .. bounds, to], Lanes.Labels, Lanes.Line);
        return Lanes.Of([.. rows.Select((r, i) => new Lane(Lanes.Short(r.Label), r.Label, r.Look, i * Lanes.Row, [.. r.Runs.SelectMany(run => Bars(run, from, to, line))]))], line);
    }

    static IEnumerable<Bar> Bars((long? First, long? Last) run, long from, long to, TimeLine line)
    {
        var (first, last) = (line.At(run.First ?? from), line.At(run.Last ?? to));
        yield return Lanes.Between(run.First is null ? Stretch.Beginning : run.Last is null ? Stretch.Ending : Stretch.Certain, first, last);
    }

    static IEnumerable<(long?, long?)> Years(IEnumerable<FeasibleRun> runs) => runs.Select(r => (
        r.First is { } first ? Day.Of(first, 1, 1).Number : (long?)null, r.Last is { } last ? Day.Of(last, 12, 31).Number : (long?)null));

    // Years of more than four digits or before year 1 are drawn as unlimited: no bat is that old.
    static long? DayOf(string? day) =>
        DateOnly.TryParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var date) ? date.DayNumber : null;
}
