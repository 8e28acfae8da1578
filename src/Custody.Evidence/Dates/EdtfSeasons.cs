namespace Custody.Evidence;

/// <summary>
/// The sub-year codes 21-41 of EDTF level 2 as days. Quarters, quadrimesters and halves (33-41) are whole months and exact. For seasons the
/// standard names no days, so every month counts that the season touches by the months of the weather services or by equinox and solstice
/// (common practice): spring 1 March to 30 June, summer 1 June to 30 September, autumn 1 September to 31 December, winter 1 December to
/// 31 March. "Winter 1960" is said of the one that ends in 1960 and of the one that begins then: both are possible. Codes 21-24 (no
/// hemisphere stated) are read as northern, where the game's seasons are counted; 29-32 are the southern ones.
/// </summary>
static class EdtfSeasons
{
    public const int First = 21;
    public const int Last = 41;

    /// <summary>The possible runs of days of a code in a year; ascending.</summary>
    public static IEnumerable<DayRun> Runs(int code, long year) => code switch
    {
        21 or 25 or 31 => [Months(year, 3, 6)],
        22 or 26 or 32 => [Months(year, 6, 9)],
        23 or 27 or 29 => [Months(year, 9, 12)],
        24 or 28 or 30 => [Turn(year - 1), Turn(year)],
        >= 33 and <= 36 => [Months(year, 3 * (code - 33) + 1, 3 * (code - 33) + 3)],
        >= 37 and <= 39 => [Months(year, 4 * (code - 37) + 1, 4 * (code - 37) + 4)],
        40 or 41 => [Months(year, 6 * (code - 40) + 1, 6 * (code - 40) + 6)],
        _ => throw new ArgumentOutOfRangeException(nameof(code)),
    };

    static DayRun Months(long year, int from, int to) => new(Day.FirstOf(year, from).Number, Day.LastOf(year, to).Number);

    static DayRun Turn(long year) => new(Day.FirstOf(year, 12).Number, Day.LastOf(year + 1, 3).Number);
}
