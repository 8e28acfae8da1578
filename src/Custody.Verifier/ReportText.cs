using System.Globalization;
using Custody.Ledger;

namespace Custody.Verifier;

/// <summary>The report in plain words. No colours: nothing here is so sure that green would not say too much.</summary>
static class ReportText
{
    const int Width = 100;

    // Common practice: about the time in which a lot is offered, sold and paid.
    const int OldAfterDays = 30;

    internal static void Write(TextWriter output, string file, Report report)
    {
        output.WriteLine(TerminalText.Safe(file));
        output.WriteLine();
        foreach (var check in report.Checks)
        {
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{check.Number,3}  {Result(check.Result),-26}  {check.Name}"));
            Lines(output, check.Reason, 5);
        }
        foreach (var history in report.Histories) Tell(output, history);
        if (report.Histories.Count > 0) Prove(output, report);
        if (report.Online?.Proof is not null)
            List(output, "The ledger convicted itself", ["Have the proof written into a file that anybody can check: custody-verify misconduct make DOSSIER --online URL --out FILE."]);
        List(output, "Before you pay", Cautions.BeforePaying);
        output.WriteLine();
        Lines(output, Verdict(report), 0);
    }

    internal static string Result(CheckResult result) => result switch
    {
        CheckResult.Passed => "passed",
        CheckResult.OnHousesWord => "passed on the house's word",
        CheckResult.Failed => "FAILED",
        _ => "not checked",
    };

    static void Tell(TextWriter output, ToldHistory history)
    {
        output.WriteLine();
        output.WriteLine(TerminalText.Safe($"As {history.Origin} recorded it, in the order in which things are said to have happened"));
        foreach (var entry in history.Entries)
        {
            var occurred = entry.Occurred?.ToString() ?? "not said";
            var recorded = entry.Recorded?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) ?? "unknown";
            var note = (entry.IsReport ? ", a report" : "") + (entry.Void ? ", VOID: corrected later" : entry.CorrectedBy.Count > 0 ? ", as corrected later" : "");
            output.WriteLine(TerminalText.Safe(string.Create(CultureInfo.InvariantCulture, $"  {occurred,-12} {entry.Title}{note} (entry {entry.Line}, recorded {recorded})")));
            foreach (var (name, value, _) in entry.Said.Where(s => s.Shown)) Lines(output, $"{name}: {value}", 17);
        }
        output.WriteLine();
        var unshown = history.Unshown.ToList();
        output.WriteLine("Kept back, or never said (the two look alike on purpose)");
        Lines(output, unshown.Count == 0 ? "nothing" : string.Join(", ", unshown.Select(k => string.Create(CultureInfo.InvariantCulture, $"{k.Kind} {k.Count}"))), 2);
    }

    static void Prove(TextWriter output, Report report)
    {
        var sound = Passed(report, 2, 3, 4);
        List(output, "What this history proves",
        [
            sound
                ? "These entries stand in the log in this order, and none was changed, added or taken out up to the last one here."
                : "Not that these entries are whole and unchanged: see checks 2, 3 and 4.",
            report.IsVouched
                ? "The ledger whose key you gave signed them."
                : "Whoever holds the key named in check 5 signed them. Nobody vouched for that key.",
            Passed(report, 10)
                ? "Each entry was allowed by the rules it was recorded under, decided again here from what is open."
                : "Not that every entry was allowed by its rules: see check 10.",
            .. Cautions.Said,
        ]);
    }

    static bool Passed(Report report, params int[] numbers) => numbers.All(n => report.Checks[n - 1].Result == CheckResult.Passed);

    static void List(TextWriter output, string title, IReadOnlyList<string> items)
    {
        output.WriteLine();
        output.WriteLine(title);
        foreach (var item in items)
        {
            var first = true;
            foreach (var line in TerminalText.Wrap(item, Width - 4))
            {
                output.WriteLine((first ? "  - " : "    ") + line);
                first = false;
            }
        }
    }

    static string Verdict(Report report)
    {
        int Count(CheckResult result) => report.Checks.Count(c => c.Result == result);
        var counts = string.Create(
            CultureInfo.InvariantCulture,
            $"{Count(CheckResult.Passed)} passed, {Count(CheckResult.OnHousesWord)} passed on the house's word, {Count(CheckResult.NotChecked)} not checked, {Count(CheckResult.Failed)} failed.");
        if (report.HasFailed) return $"SOMETHING FAILED: do not rely on this dossier before you know why. {counts}";
        var anyLater = report.Online is { Answered: true, Size: { } size }
            ? string.Create(CultureInfo.InvariantCulture, $"and nothing is later in the public log of {size} entries")
            : "anything later is unknown here";
        var key = report.IsVouched ? "" : " Nobody vouched for the key.";
        var old = report.DaysOld > OldAfterDays && report.Online is not { Answered: true } ? " It is old: a hold, a claim or a sale may have been recorded since." : "";
        return $"Nothing failed, {report.AsOf}; {anyLater}.{old}{key} {counts}";
    }

    static void Lines(TextWriter output, string text, int indent)
    {
        foreach (var line in TerminalText.Wrap(text, Width - indent)) output.WriteLine(new string(' ', indent) + line);
    }
}
