using System.Globalization;
using System.Numerics;
using System.Text.RegularExpressions;

namespace Custody.Evidence;

/// <summary>Reads one date: year, season, month or day with masks and qualifiers, or a year in letter or significant-digit form.</summary>
static partial class EdtfDateReader
{
    public static EdtfRefusal? Read(string text, out EdtfDate? date)
    {
        date = null;
        if (Plain().Match(text) is { Success: true } plain)
            return ReadPlain(text, plain, out date);
        if (LongYear().Match(text) is { Success: true } year)
            return ReadLongYear(text, year, out date);
        return EdtfRefusals.OfShape(text);
    }

    static EdtfRefusal? ReadPlain(string text, Match match, out EdtfDate? date)
    {
        date = null;
        var (year, month, day) = (match.Groups["year"].Value, Part(match, "month"), Part(match, "day"));
        if (Qualifiers(match, month is not null, day is not null) is not { } q)
            return EdtfRefusals.Qualifier("A component carries one qualifier, on one side; both meanings together are written %.");
        var negative = year[0] == '-';
        var digits = negative ? year[1..] : year;
        if (negative && digits == "0000")
            return EdtfRefusals.NegativeZero;
        var isSeason = month is not null && EdtfRuns.IsSeason(month);
        if (isSeason && day is not null)
            return EdtfRefusals.SeasonWithDay;
        var runs = EdtfRuns.Of(negative, digits, month, day);
        if (runs.Count == 0)
            return EdtfRefusals.ImpossibleDate(text);
        var precision = day is not null ? DatePrecision.Day : isSeason ? DatePrecision.Season
            : month is not null ? DatePrecision.Month : DatePrecision.Year;
        date = new EdtfDate(text, precision, EdtfRuns.Years(negative, digits).First(), EdtfRuns.Years(negative, digits, true).First(),
            q.Year, q.Month, q.Day)
        { Runs = runs };
        return null;
    }

    static string? Part(Match match, string name) => match.Groups[name] is { Success: true } group ? group.Value : null;

    // Level 2, qualification: right of a component it holds for it and everything to the left, left of a component for it alone.
    static (Qualifier Year, Qualifier Month, Qualifier Day)? Qualifiers(Match match, bool hasMonth, bool hasDay)
    {
        Qualifier Of(string name) => Part(match, name) switch
        {
            "?" => Qualifier.Uncertain,
            "~" => Qualifier.Approximate,
            "%" => Qualifier.Uncertain | Qualifier.Approximate,
            _ => Qualifier.None,
        };
        bool Both(string left, string right) => match.Groups[left].Success && match.Groups[right].Success;
        if (Both("ly", "ry") || (hasMonth && Both("lm", "rm")) || (hasDay && Both("ld", "rd")))
            return null;
        var day = Of("ld") | Of("rd");
        var month = Of("lm") | Of("rm") | Of("rd");
        return (Of("ly") | Of("ry") | Of("rm") | Of("rd"), month, day);
    }

    // Level 1, letter-prefixed year; level 2, exponential year and significant digits. A year of four digits may carry significant digits too.
    static EdtfRefusal? ReadLongYear(string text, Match match, out EdtfDate? date)
    {
        date = null;
        var digits = match.Groups["digits"].Value;
        var lettered = match.Groups["letter"].Success;
        var zeros = Part(match, "exponent") is { } e ? Small(e) : 0;
        if (zeros > 13 || digits.Length + zeros > 14)
            return EdtfRefusals.YearRange;
        if (lettered && zeros == 0 && digits.Length < 5)
            return EdtfRefusals.LetterYear;
        if (lettered && digits[0] == '0')
            return EdtfRefusals.LetterYear;
        var year = BigInteger.Parse(digits + new string('0', zeros), CultureInfo.InvariantCulture);
        if (match.Groups["minus"].Success && year.IsZero)
            return EdtfRefusals.NegativeZero;
        if (year > Day.LargestYear)
            return EdtfRefusals.YearRange;
        var (lo, hi) = ((long)year, (long)year);
        if (Part(match, "significant") is { } s && Significant(Small(s), digits.Length + zeros, ref lo, ref hi) is { } refusal)
            return refusal;
        if (match.Groups["minus"].Success)
            (lo, hi) = (-hi, lo == 0 ? -1 : -lo);
        date = new EdtfDate(text, DatePrecision.Year, lo, hi, Qualifier.None, Qualifier.None, Qualifier.None)
        {
            Runs = [new DayRun(Day.FirstOf(lo, 1).Number, Day.LastOf(hi, 12).Number)],
        };
        return null;
    }

    // 1950S2: some year from 1900 to 1999, put at 1950.
    static EdtfRefusal? Significant(int kept, int length, ref long lo, ref long hi)
    {
        if (kept < 1 || kept > length)
            return EdtfRefusals.SignificantDigits;
        var unit = (long)BigInteger.Pow(10, length - kept);
        lo = lo / unit * unit;
        hi = Math.Min(lo + unit - 1, Day.LargestYear);
        return null;
    }

    static int Small(string digits) => digits.Length > 3 ? 999 : int.Parse(digits, NumberStyles.None, CultureInfo.InvariantCulture);

    [GeneratedRegex(@"\A(?<ly>[?~%])?(?<year>-?[0-9X]{4})(?<ry>[?~%])?(-(?<lm>[?~%])?(?<month>[0-9X]{2})(?<rm>[?~%])?(-(?<ld>[?~%])?(?<day>[0-9X]{2})(?<rd>[?~%])?)?)?\z",
        RegexOptions.ExplicitCapture | RegexOptions.CultureInvariant)]
    private static partial Regex Plain();

    [GeneratedRegex(@"\A((?<letter>Y)(?<minus>-)?(?<digits>[0-9]+)(E(?<exponent>[0-9]+))?(S(?<significant>[0-9]+))?|(?<minus>-)?(?<digits>[0-9]{4})S(?<significant>[0-9]+))\z",
        RegexOptions.ExplicitCapture | RegexOptions.CultureInvariant)]
    private static partial Regex LongYear();
}
