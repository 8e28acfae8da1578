using System.Globalization;

namespace Custody.Evidence;

/// <summary>
/// One calendar day, counted in the proleptic Gregorian calendar as EDTF does (ISO 8601-1, year 0000 is 1 BCE). Day 0 is 0001-01-01, the
/// same count as <see cref="DateOnly.DayNumber"/>, but years outside 0001-9999 work too.
/// </summary>
public readonly record struct Day(long Number) : IComparable<Day>
{
    /// <summary>Years beyond this, either way, are refused at reading; every sum of days below stays inside a long.</summary>
    public const long LargestYear = 9_999_999_999_999;

    /// <summary>The day of a platform date.</summary>
    public static Day Of(DateOnly date) => new(date.DayNumber);

    /// <summary>The day of a calendar date. Month and day must exist; callers check with <see cref="DaysInMonth"/>.</summary>
    public static Day Of(long year, int month, int day)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(Math.Abs(year), LargestYear + 1, nameof(year));
        ArgumentOutOfRangeException.ThrowIfLessThan(month, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(month, 12);
        ArgumentOutOfRangeException.ThrowIfLessThan(day, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(day, DaysInMonth(year, month));
        var before = DaysBeforeYear(year);
        for (var m = 1; m < month; m++)
            before += DaysInMonth(year, m);
        return new Day(before + day - 1);
    }

    /// <summary>The first day of a month.</summary>
    public static Day FirstOf(long year, int month) => Of(year, month, 1);

    /// <summary>The last day of a month.</summary>
    public static Day LastOf(long year, int month) => Of(year, month, DaysInMonth(year, month));

    /// <summary>28 to 31.</summary>
    public static int DaysInMonth(long year, int month) => month switch
    {
        2 => IsLeap(year) ? 29 : 28,
        4 or 6 or 9 or 11 => 30,
        _ => 31,
    };

    /// <summary>Leap years of the Gregorian calendar, also before it was in use (proleptic).</summary>
    public static bool IsLeap(long year) => year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);

    /// <summary>The calendar date of this day.</summary>
    public (long Year, int Month, int Day) Date
    {
        get
        {
            // 146,097 days make 400 years; the estimate is at most one year off, either way.
            var year = FloorDivide(Number, 146_097) * 400 + FloorModulo(Number, 146_097) / 366 + 1;
            while (DaysBeforeYear(year + 1) <= Number)
                year++;
            var rest = Number - DaysBeforeYear(year);
            var month = 1;
            for (; rest >= DaysInMonth(year, month); month++)
                rest -= DaysInMonth(year, month);
            return (year, month, (int)rest + 1);
        }
    }

    /// <inheritdoc/>
    public int CompareTo(Day other) => Number.CompareTo(other.Number);

    /// <summary>Earlier than.</summary>
    public static bool operator <(Day a, Day b) => a.Number < b.Number;

    /// <summary>Later than.</summary>
    public static bool operator >(Day a, Day b) => a.Number > b.Number;

    /// <summary>Earlier than or the same.</summary>
    public static bool operator <=(Day a, Day b) => a.Number <= b.Number;

    /// <summary>Later than or the same.</summary>
    public static bool operator >=(Day a, Day b) => a.Number >= b.Number;

    /// <summary>YYYY-MM-DD; years that do not fit four digits with the EDTF letter Y in front, to be read by people only.</summary>
    public override string ToString()
    {
        var (year, month, day) = Date;
        var text = Math.Abs(year) <= 9999 ? (year < 0 ? "-" : "") + Math.Abs(year).ToString("0000", CultureInfo.InvariantCulture)
            : "Y" + year.ToString(CultureInfo.InvariantCulture);
        return string.Create(CultureInfo.InvariantCulture, $"{text}-{month:00}-{day:00}");
    }

    static long DaysBeforeYear(long year)
    {
        var past = year - 1;
        return 365 * past + FloorDivide(past, 4) - FloorDivide(past, 100) + FloorDivide(past, 400);
    }

    static long FloorDivide(long a, long b) => a / b - (a % b < 0 ? 1 : 0);

    static long FloorModulo(long a, long b) => a - FloorDivide(a, b) * b;
}
