using System.Globalization;
using System.Text.RegularExpressions;

namespace Custody.Evidence;

/// <summary>Checks the time of day of a level 0 value; hours 00-23, no leap second, shifts within 14 hours of UTC.</summary>
static partial class EdtfTimeReader
{
    public static EdtfRefusal? Check(string time)
    {
        var match = Time().Match(time);
        if (!match.Success)
            return EdtfRefusals.TimeShape;
        if (Number(match, "h") > 23 || Number(match, "m") > 59 || Number(match, "s") > 59)
            return EdtfRefusals.ImpossibleTime;
        if (!match.Groups["sign"].Success)
            return null;
        var (hours, minutes) = (Number(match, "zh"), Number(match, "zm"));
        var shift = hours * 60 + minutes;
        // ISO 8601-1, 4.3.13: a shift of nothing is never written with a minus.
        return minutes > 59 || shift > 14 * 60 || (shift == 0 && match.Groups["sign"].Value == "-") ? EdtfRefusals.ImpossibleZone : null;
    }

    static int Number(Match match, string name) =>
        match.Groups[name].Success ? int.Parse(match.Groups[name].Value, NumberStyles.None, CultureInfo.InvariantCulture) : 0;

    [GeneratedRegex(@"\A(?<h>[0-9]{2}):(?<m>[0-9]{2}):(?<s>[0-9]{2})(Z|(?<sign>[+-])(?<zh>[0-9]{2})(:(?<zm>[0-9]{2}))?)?\z",
        RegexOptions.ExplicitCapture | RegexOptions.CultureInvariant)]
    private static partial Regex Time();
}
