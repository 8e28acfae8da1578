using System.Security.Cryptography.X509Certificates;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>What the reader of a dossier brings along.</summary>
/// <param name="Keys">Keys of ledgers, got from elsewhere than the dossier; each stands for the ledger whose name it bears.</param>
/// <param name="Label">What stands on a label in hand; null when none is compared.</param>
/// <param name="Now">The reader's clock, for saying how old the dossier is.</param>
public sealed record Expected(IReadOnlyList<VerifierKey> Keys, string? Label, DateTimeOffset Now)
{
    /// <summary>Whose cosignatures the reader asks for, and further keys of ledgers; null when none.</summary>
    public CosignPolicy? Policy { get; init; }

    /// <summary>Root certificates that the reader trusts for time stamps (RFC 3161), got elsewhere.</summary>
    public IReadOnlyList<X509Certificate2> TimeRoots { get; init; } = [];

    /// <summary>Every key the reader brings, those of the policy's logs among them.</summary>
    internal IEnumerable<VerifierKey> AllKeys => Policy is null ? Keys : Keys.Concat(Policy.Logs.Select(l => l.Key));

    /// <summary>The ledger's public log, to ask what came later; null when the dossier is checked from its file alone.</summary>
    public LogAsked? Online { get; init; }
}

/// <summary>Runs the list of checks over a dossier. Believes nothing in it and never throws for anything in it.</summary>
public static class Checker
{
    /// <summary>All checks, in the list's order. A check that rests on another one that failed is not checked, so that each fault shows once.</summary>
    public static Report Run(DossierContent content, Expected expected) => Look(content, expected).Report;

    /// <summary>As <see cref="Run"/>, with the history as its open fields tell it; null when it could not be decided again to its end.</summary>
    internal static (Report Report, Reading? Open) Look(DossierContent content, Expected expected)
    {
        if (content.Parts.Count == 0) return (Unreadable(content.BagFault ?? "Nothing could be read."), null);
        var readings = content.Parts.Select(p => new HistoryReading(p)).ToList();
        var disclosures = new DisclosureCheck(content.Disclosures, readings);
        var entries = Each(readings, EntryChecks.WellFormed);
        var chains = Each(readings, (r, i) => i == 0 ? EntryChecks.Chain(r) : Continuing.Chain(readings[0], r));
        var included = Each(readings, EntryChecks.Included);
        var decisions = readings.Select((r, i) => new DecisionCheck(r, disclosures.Opened, !entries[i].HasFailed && !chains[i].HasFailed && !included[i].HasFailed)).ToList();
        var told = readings.Select((r, i) => ToldHistory.Of(r, disclosures.Opened, decisions[i].Shown)).ToList();
        var open = decisions[0].Open;
        var stranger = expected.AllKeys.FirstOrDefault(k => readings.TrueForAll(r => r.Origin != k.Name));
        var timelines = readings.ConvertAll(r => TimelinePoints.Read(r, expected));
        var signed = Each(readings, (r, i) => SignatureChecks.Checkpoint(r, expected, i == 0 ? stranger : null));
        var heads = Each(readings, r => SignatureChecks.Head(r, expected.Now));
        var online = expected.Online is { } asked ? CompletenessCheck.Of(readings[0], expected, IsSound(0), asked) : null;
        bool IsSound(int i) => new[] { entries[i], chains[i], included[i], signed[i], heads[i] }.All(o => o.Result is CheckResult.Passed or CheckResult.OnHousesWord);
        if (online?.Head is { } known) heads[0] = known;
        var readable = disclosures.Outcome.Result == CheckResult.Passed && !heads.Exists(h => h.HasFailed);
        Outcome[] outcomes =
        [
            content.BagFault is { } fault ? Outcome.Failed(fault) : Outcome.Passed("Every file is there, none besides, each as its manifest says."),
            All(readings, entries),
            All(readings, chains),
            All(readings, included),
            All(readings, signed),
            All(readings, heads),
            disclosures.Outcome,
            FileChecks.Fit(content, readings, disclosures),
            All(readings, [.. timelines.Select(t => t.Stamps)]),
            All(readings, [.. decisions.Select(d => d.Outcome)]),
            SummaryCheck.Equal(content, open, readable ? () => HistoryPage.Write(DossierWriter.Title(open!), told) : null, decisions[0].HasLost),
            LabelCheck.Labels(readings[0], open?.State, expected.Label),
            OutcomeChecks.SecondEntries(readings, online?.Entries),
            All(readings, [.. readings.Zip(timelines, TimeCheck.Recorded)]),
            All(readings, [.. readings.Zip(decisions, (r, d) => AmountsCheck.Of(r, d.Shown, disclosures.Opened))]),
        ];
        var time = readings[0].Head.Value?.Time;
        var asOf = time is { } head ? SignatureChecks.AsOf(head, expected.Now) : null;
        long? daysOld = time is { } then ? SignatureChecks.DaysOld(then, expected.Now) : null;
        var checks = outcomes.Select((o, i) => CheckList.Make(i + 1, o));
        return (new([.. checks], told, disclosures.Count, asOf, daysOld, signed[0].Result == CheckResult.Passed) { Online = online?.Finding }, open);
    }

    static Report Unreadable(string fault) => new(
        [.. CheckList.All.Select(c => CheckList.Make(c.Number, c.Number == 1 ? Outcome.Failed(fault) : Outcome.NotChecked("The bag cannot be read; see check 1.")))],
        [], 0, null, null, false);

    static List<Outcome> Each(IReadOnlyList<HistoryReading> readings, Func<HistoryReading, Outcome> check) => [.. readings.Select(check)];

    static List<Outcome> Each(IReadOnlyList<HistoryReading> readings, Func<HistoryReading, int, Outcome> check) => [.. readings.Select(check)];

    static Outcome All(IReadOnlyList<HistoryReading> readings, IReadOnlyList<Outcome> outcomes) =>
        Outcome.Together([.. readings.Zip(outcomes, (r, o) => (r.Origin, o))]);
}
