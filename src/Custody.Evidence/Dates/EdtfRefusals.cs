using System.Text.RegularExpressions;

namespace Custody.Evidence;

/// <summary>Every refusal of the EDTF reader, by name.</summary>
static partial class EdtfRefusals
{
    const string Alphabet = "0123456789-/.,:+?~%[]{}XYESTZ";

    public static EdtfRefusal NegativeZero => new("edtf-negative-zero", "There is no year minus zero.", "Year 0000 is 1 BCE, -0001 is 2 BCE.");

    public static EdtfRefusal SeasonWithDay => new("edtf-season-with-day", "A season has no day.", "Write the season alone, as 1960-21, or the month.");

    public static EdtfRefusal YearRange =>
        new("edtf-year-range", "The year is further away than this program counts.", "Years from -9999999999999 to 9999999999999 are read.");

    public static EdtfRefusal LetterYear =>
        new("edtf-letter-year", "The letter Y introduces a year of more than four digits without leading zeros.", "Write four digits without the letter.");

    public static EdtfRefusal SignificantDigits => new("edtf-significant-digits",
        "The number after S says how many of the year's digits count.", "Use a number from 1 to the number of digits, as 1950S2.");

    public static EdtfRefusal TimeShape =>
        new("edtf-time", "This is not a time of day.", "Write hh:mm:ss, then nothing, Z, or a shift as +05 or -04:30.");

    public static EdtfRefusal ImpossibleTime =>
        new("edtf-impossible-time", "There is no such time of day.", "Hours go to 23, minutes and seconds to 59.");

    public static EdtfRefusal ImpossibleZone => new("edtf-impossible-zone",
        "No clock on Earth is set like this.", "A shift from UTC is at most 14 hours; none at all is written Z or +00:00.");

    public static EdtfRefusal ImpossibleDate(string text) =>
        new("edtf-impossible-date", $"\"{text}\" fits no day of the calendar.", "Months are 01 to 12 (21 to 41 for seasons), days end with their month.");

    public static EdtfRefusal TimeNeedsDay(string text) =>
        new("edtf-time-needs-day", $"A time of day needs a complete plain date before it, not \"{text}\".", "Leave out the time or give the day.");

    public static EdtfRefusal Interval(string sentence) => new("edtf-interval", sentence, "Write from/to, with .. for an open end, nothing for an unknown one.");

    public static EdtfRefusal Backwards(string text) =>
        new("edtf-interval-backwards", $"\"{text}\" ends before it begins.", "Write the earlier date first.");

    public static EdtfRefusal Set(string sentence) => new("edtf-set", sentence, "Write [1950,1951] for one of these, {1950,1951} for all of these.");

    public static EdtfRefusal Range(string sentence) => new("edtf-range", sentence, "Write [1950..1953], [..1953] or [1950..].");

    public static EdtfRefusal Qualifier(string sentence) => new("edtf-qualifier", sentence, "Write 1952?, 1952~ or 1952%.");

    /// <summary>What the characters alone can tell; null when only EDTF's own occur.</summary>
    public static EdtfRefusal? OfText(string? text)
    {
        if (string.IsNullOrEmpty(text))
            return new("edtf-empty", "Nothing was written.", "Write a date such as 1952, 195X or 1952-04.");
        if (text.Length > Edtf.LongestText)
            return new("edtf-too-long", "The text is longer than any date needs.", "Use at most 256 characters.");
        if (text.Any(char.IsWhiteSpace))
            return new("edtf-space", "EDTF has no spaces.", "Leave them out.");
        if (Draft().IsMatch(text))
            return new("edtf-draft-syntax", "This is the spelling of the 2012 draft.",
                "Use X for a digit nobody knows, % for ?~, .. for open, nothing for unknown, Y before long years, no parentheses.");
        if (text.StartsWith('P') || text.Contains("/P", StringComparison.Ordinal))
            return new("edtf-duration", "Durations are not dates.", "Give both ends of the interval.");
        if (text.Contains('W', StringComparison.Ordinal))
            return new("edtf-week", "Week dates are not part of EDTF.", "Give the month and day.");
        return text.All(c => Alphabet.Contains(c, StringComparison.Ordinal)) ? null
            : new("edtf-character", "A character occurs that EDTF does not use.", "Write digits, and X ? ~ % - / .. [ ] { } as the standard says.");
    }

    /// <summary>Names a well-known shape that is no EDTF date.</summary>
    public static EdtfRefusal OfShape(string text) => text switch
    {
        _ when Basic().IsMatch(text) => new("edtf-basic-format", "The digits are not separated.", "Write 1952-04-15."),
        _ when Ordinal().IsMatch(text) => new("edtf-ordinal-day", "Days counted from the start of the year are not part of EDTF.", "Give the month and day."),
        _ when Short().IsMatch(text) => new("edtf-short-year", "A year has four characters; a decade is 195X, a century 19XX.", "Write X for each digit left out."),
        _ when LongDigits().IsMatch(text) => new("edtf-year-without-letter", "A year of more than four digits begins with Y.", "Write Y17000."),
        _ => new("edtf-shape", $"\"{text}\" is not a date in EDTF.", "Write a date such as 1952, 195X, 1952-04, 1952-04-15 or 1952-21."),
    };

    [GeneratedRegex(@"u|x|open|unknown|\?~|~\?|[()^]|\Ay-?[0-9]|[0-9]e[0-9]|[0-9]p[0-9]", RegexOptions.CultureInvariant)]
    private static partial Regex Draft();

    [GeneratedRegex(@"\A[0-9]{6}([0-9]{2})?\z", RegexOptions.CultureInvariant)]
    private static partial Regex Basic();

    [GeneratedRegex(@"\A[0-9]{4}-[0-9]{3}\z", RegexOptions.CultureInvariant)]
    private static partial Regex Ordinal();

    [GeneratedRegex(@"\A-?[0-9X]{1,3}[?~%]?\z", RegexOptions.CultureInvariant)]
    private static partial Regex Short();

    [GeneratedRegex(@"\A-?[0-9]{5,}\z", RegexOptions.CultureInvariant)]
    private static partial Regex LongDigits();
}
