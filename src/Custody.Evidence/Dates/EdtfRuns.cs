namespace Custody.Evidence;

/// <summary>The days a date with unspecified digits can be. A mask is two or four characters, digits or X.</summary>
static class EdtfRuns
{
    /// <summary>
    /// Beyond this many separate runs (XXXX-12-25 has ten thousand) only the first and last day are kept, as one run. That can only turn a
    /// "certain" or "excluded" into "possible", never the other way round.
    /// </summary>
    public const int Most = 64;

    /// <summary>Ascending runs; empty when no date fits, such as 2015-02-3X.</summary>
    public static IReadOnlyList<DayRun> Of(bool negative, string year, string? month, string? day)
    {
        var runs = new List<DayRun>();
        foreach (var run in Pieces(negative, year, month, day, descending: false))
        {
            if (runs.Count > 0 && run.Lo <= runs[^1].Hi + 1)
                runs[^1] = new DayRun(runs[^1].Lo, Math.Max(runs[^1].Hi, run.Hi));
            else if (runs.Count < Most)
                runs.Add(run);
            else
                return [new DayRun(runs[0].Lo, Pieces(negative, year, month, day, descending: true).First().Hi)];
        }
        return runs;
    }

    /// <summary>Whether the two characters after the year are a season code; one with an X in it is a month.</summary>
    public static bool IsSeason(string month) =>
        !month.Contains('X', StringComparison.Ordinal) && Number(month) is >= EdtfSeasons.First and <= EdtfSeasons.Last;

    /// <summary>The years a mask fits, ascending or descending. Minus zero is no year.</summary>
    public static IEnumerable<long> Years(bool negative, string mask, bool descending = false) =>
        negative ? Fitting(mask, 1, 9999, !descending).Select(y => -(long)y) : Fitting(mask, 0, 9999, descending).Select(y => (long)y);

    static IEnumerable<DayRun> Pieces(bool negative, string year, string? month, string? day, bool descending) =>
        Years(negative, year, descending).SelectMany(y => OfYear(y, month, day, descending));

    static IEnumerable<DayRun> OfYear(long year, string? month, string? day, bool descending)
    {
        if (month is null || (month == "XX" && day is null or "XX"))
            return [new DayRun(Day.FirstOf(year, 1).Number, Day.LastOf(year, 12).Number)];
        if (day is null && IsSeason(month))
            return descending ? EdtfSeasons.Runs(Number(month), year).Reverse() : EdtfSeasons.Runs(Number(month), year);
        return Fitting(month, 1, 12, descending).SelectMany(m => OfMonth(year, m, day, descending));
    }

    static IEnumerable<DayRun> OfMonth(long year, int month, string? day, bool descending)
    {
        if (day is null or "XX")
            return [new DayRun(Day.FirstOf(year, month).Number, Day.LastOf(year, month).Number)];
        return Fitting(day, 1, Day.DaysInMonth(year, month), descending)
            .Select(d => new DayRun(Day.Of(year, month, d).Number, Day.Of(year, month, d).Number));
    }

    static IEnumerable<int> Fitting(string mask, int from, int to, bool descending)
    {
        if (!mask.Contains('X', StringComparison.Ordinal))
        {
            if (Number(mask) >= from && Number(mask) <= to)
                yield return Number(mask);
            yield break;
        }
        for (var step = 0; step <= to - from; step++)
        {
            var value = descending ? to - step : from + step;
            if (Fits(mask, value))
                yield return value;
        }
    }

    static bool Fits(string mask, int value)
    {
        for (var i = mask.Length - 1; i >= 0; i--, value /= 10)
        {
            if (mask[i] != 'X' && mask[i] - '0' != value % 10)
                return false;
        }
        return value == 0;
    }

    static int Number(string digits) => digits.Aggregate(0, (sum, c) => sum * 10 + (c - '0'));
}
