using System.Globalization;

namespace Custody.Evidence.Tests.Dates;

/// <summary>
/// A slow second reader for the tests: a date text fits a day when the day's own spelling fits it character by character, X fitting any. It
/// shares nothing with the reader under test and knows the years 1940-1969 only.
/// </summary>
static class Reading
{
    static readonly (DateOnly Day, string Text)[] Calendar =
    [
        .. Enumerable.Range(new DateOnly(1940, 1, 1).DayNumber, new DateOnly(1970, 1, 1).DayNumber - new DateOnly(1940, 1, 1).DayNumber)
            .Select(DateOnly.FromDayNumber).Select(d => (d, d.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture))),
    ];

    /// <summary>Day numbers a date fits, ascending.</summary>
    public static int[] Days(string date) => [.. Calendar.Where(c => Fits(date, c.Text)).Select(c => c.Day.DayNumber)];

    /// <summary>Every pair of first and last day that a date, an interval of dates or a one-of set can mean.</summary>
    public static (int Start, int End)[] All(string text) =>
        text[0] == '[' ? [.. text[1..^1].Split(',').SelectMany(All)]
        : text.Split('/') is [var from, var to] ? [.. Days(from).SelectMany(s => Days(to).Where(e => e >= s).Select(e => (s, e)))]
        : [.. Runs(Days(text)).SelectMany(r => r.SelectMany(s => r.Where(e => e >= s).Select(e => (s, e))))];

    static IEnumerable<List<int>> Runs(int[] days)
    {
        var run = new List<int>();
        foreach (var day in days)
        {
            if (run.Count > 0 && day != run[^1] + 1)
            {
                yield return run;
                run = [];
            }
            run.Add(day);
        }
        yield return run;
    }

    static bool Fits(string date, string day)
    {
        for (var i = 0; i < date.Length; i++)
        {
            if (date[i] != 'X' && date[i] != day[i])
                return false;
        }
        return true;
    }
}
