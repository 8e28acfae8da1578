using System.Globalization;
using Custody.Bats;

namespace Custody.Ledger;

/// <summary>How one label stands, in words for whoever holds the bat it is on.</summary>
/// <param name="InForce">Issued here, neither voided nor replaced.</param>
/// <param name="Stamp">One or two words.</param>
/// <param name="Means">What that means, and what to do.</param>
/// <param name="Reports">What was noticed about it, each with its day.</param>
public sealed record LabelStanding(bool InForce, string Stamp, string Means, IReadOnlyList<string> Reports)
{
    /// <param name="n">Number of its <c>LabelIssued</c>.</param>
    public static LabelStanding Of(Reading reading, long n)
    {
        var bat = reading.State;
        var label = bat.Labels.ByEntry[n];
        List<string> reports = [.. label.Reports.Where(r => !bat.Corrections.IsVoid(r)).Select(r => Report(reading, r))];
        if (bat.Labels.IsGood(n, bat.Corrections))
        {
            return reports.Count == 0
                ? new(true, "in force", "This label was issued for this bat and is in force. Whether it is still on this bat, only the bat can tell.", reports)
                : new(true, "in force, but reported", "This label was issued for this bat and is in force, but something was noticed about it. Compare the bat with particular care.", reports);
        }
        if (bat.Corrections.IsVoid(n))
            return new(false, "void", "The entry that issued this label was found to be a mistake. Do not rely on this label; tell the house where you met it.", reports);
        var ended = reading.Entries[(int)label.Ended!.Value - 1];
        return ended.Fact is LabelReplaced replaced
            ? new(false, $"replaced {Day(ended.Recorded)}", $"This label was replaced by label {Serial(reading, replaced.With)} on {Day(ended.Recorded)} ({Ground(replaced.Ground)}). The bat should carry the later one; do not rely on this one, and tell the house where you met it.", reports)
            : new(false, $"voided {Day(ended.Recorded)}", $"This label was voided on {Day(ended.Recorded)} ({Ground(((LabelVoided)ended.Fact).Ground)}). It vouches for nothing; do not rely on it, and tell the house where you met it.", reports);
    }

    /// <summary>Said on every page: what no page can see.</summary>
    public const string Caution = "A label can be moved or copied by anyone who saw it; compare the bat with what is recorded of it. "
        + "A scan of the label and a scan of a copy look the same here, and nothing counts how often it was scanned.";

    static string Serial(Reading reading, long n) => ((LabelIssued)reading.Entries[(int)n - 1].Fact).Serial.ToString(CultureInfo.InvariantCulture);

    static string Ground(LabelEndGround ground) => ground switch
    {
        LabelEndGround.OpinionChanged => "an opinion it speaks of changed",
        LabelEndGround.MixUp => "bats were mixed up",
        LabelEndGround.Moved => "it was moved to something else",
        _ => Words.Of(ground.ToString()),
    };

    static string Report(Reading reading, long n)
    {
        var at = reading.Entries[(int)n - 1];
        return ((LabelReported)at.Fact).Notice switch
        {
            LabelNotice.OnAnotherBat => $"Reported on another bat on {Day(at.Recorded)}: it was moved, or there are two of it.",
            LabelNotice.Copied => $"Reported copied on {Day(at.Recorded)}: there may be more than one of it.",
            LabelNotice.Detached => $"Reported detached from the bat on {Day(at.Recorded)}.",
            LabelNotice.Altered => $"Reported altered on {Day(at.Recorded)}.",
            LabelNotice.Damaged => $"Reported damaged on {Day(at.Recorded)}.",
            LabelNotice.Missing => $"Reported missing on {Day(at.Recorded)}.",
            _ => $"Reported on {Day(at.Recorded)}.",
        };
    }

    internal static string Day(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
