using Custody.Evidence;

namespace Custody.Bats;

public enum BenchStepKind
{
    Opened,
    Locked,
    Unmasked,
    Revised,
    Closed,
}

/// <summary>One step of an examination, in the order of recording.</summary>
/// <param name="Shown">Entries of this bat that were shown.</param>
/// <param name="Changed">Findings that changed by this step.</param>
/// <param name="AfterLock">False when something was shown before the findings were locked.</param>
/// <param name="Text">The examiner's words on it: effect or reason; null when not shown.</param>
public sealed record BenchStep(
    long Entry, BenchStepKind Kind, DateTimeOffset Recorded, Stage? Stage, SeenHow? How, bool? AfterLock, IReadOnlyList<long> Shown, RevisionCause? Cause,
    IReadOnlyList<int> Changed, string? Text);

/// <summary>A finding as it read from one entry on.</summary>
/// <param name="Entry">The <c>FindingsLocked</c> or <c>FindingsRevised</c>.</param>
/// <param name="Change">Null for the finding as first locked.</param>
/// <param name="After">The stage last opened before; null when nothing had been.</param>
/// <param name="Text">Null when not shown.</param>
public sealed record FindingVersion(
    long Entry, RevisionKind? Change, RevisionCause? Cause, Stage? After, Who? SecondExaminer, string? Reason, FindingKind Kind, Presence Presence,
    Confidence Confidence, SeenBy SeenBy, SurfacePlace? Place, Quantity? Measure, IReadOnlyList<PictureHash> Pictures, string? Text);

/// <summary>One finding with everything it ever read, first as locked.</summary>
public sealed record FindingHistory(int Number, IReadOnlyList<FindingVersion> Versions)
{
    /// <summary>As it reads now; null when taken back.</summary>
    public FindingVersion? Now => Versions[^1].Change == RevisionKind.TakenBack ? null : Versions[^1];
}

/// <summary>One examination: the order in which things were seen, and what that did to the findings.</summary>
/// <param name="Standing">Void when it did not happen.</param>
/// <param name="OrderKept">Findings locked before anything was opened here, and the stages in turn; null when it was not meant to be blind.</param>
/// <param name="Words">Order and effect in words that claim no more than what was opened through the ledger.</param>
public sealed record ExaminationOrder(
    long Entry, EntryStanding Standing, Who Examiner, Who House, ExaminedFrom From, Blinding Blinding, bool? OrderKept, IReadOnlyList<KnownBefore> KnownBefore,
    ProposedBy ProposedBy, long? FilesSearched, string? Known, ExaminationOutcome? Outcome, IReadOnlyList<BenchStep> Steps, IReadOnlyList<FindingHistory> Findings,
    IReadOnlyList<string> Words)
{
    internal static IReadOnlyList<ExaminationOrder> All(Reading reading) => [.. reading.State.Examinations.ByEntry.Keys.Select(n => Read(reading, n)!)];

    /// <summary>The examination begun by entry <paramref name="n"/>; null when there is none.</summary>
    internal static ExaminationOrder? Read(Reading reading, long n)
    {
        if (!reading.State.Examinations.ByEntry.TryGetValue(n, out var examination)) return null;
        var opened = (ExaminationOpened)reading[n].Fact;
        BenchStep[] steps = [.. reading.Entries.Where(e => !e.IsVoid).Select(e => StepOf(n, e)).OfType<BenchStep>()];
        FindingHistory[] findings = [.. Versions(reading, n, steps).GroupBy(v => v.Number, v => v.Version).OrderBy(f => f.Key).Select(f => new FindingHistory(f.Key, [.. f]))];
        bool? kept = opened.Blinding == Blinding.NotBlind ? null
            : steps.Where(s => s.Kind == BenchStepKind.Unmasked).All(s => s is { How: SeenHow.Opened, AfterLock: true });
        return new ExaminationOrder(
            n, Standings.Of(reading, n), reading.Who(examination.Examiner), reading.Who(examination.House), opened.From, opened.Blinding, kept, opened.KnownBefore,
            opened.ProposedBy, opened.FilesSearched, opened.Known?.Value, reading.State.Corrections.Stands(examination.Closed) ? examination.Outcome : null, steps, findings,
            [.. ExaminationWords.Of(opened, kept, steps, findings)]);

        BenchStep? StepOf(long of, Noted at) => at.Fact switch
        {
            ExaminationOpened when at.N == of => Step(at, BenchStepKind.Opened),
            FindingsLocked f when f.Examination == of => Step(at, BenchStepKind.Locked, f.Findings.Keys, f.Remarks?.Value),
            Unmasked u when u.Examination == of => Step(at, BenchStepKind.Unmasked, [], u.Effect?.Value) with
            {
                Stage = u.Stage,
                How = u.How,
                Shown = u.Entries,
                AfterLock = examination.Unmasked.Find(x => x.Entry == at.N)!.AfterLock,
            },
            FindingsRevised r when r.Examination == of => Step(at, BenchStepKind.Revised, r.Findings.Keys, r.Reason?.Value) with { Cause = r.Cause },
            ExaminationClosed c when c.Examination == of => Step(at, BenchStepKind.Closed, [], c.Remarks?.Value),
            _ => null,
        };
    }

    static BenchStep Step(Noted at, BenchStepKind kind, IEnumerable<string>? changed = null, string? text = null) => new(
        at.N, kind, at.Recorded, null, null, null, [], null, [.. (changed ?? []).Select(key => Numbered.NumberOf('f', key)).OfType<int>().Order()], text);

    static IEnumerable<(int Number, FindingVersion Version)> Versions(Reading reading, long n, BenchStep[] steps)
    {
        foreach (var step in steps)
        {
            var after = steps.LastOrDefault(s => s.Kind == BenchStepKind.Unmasked && s.Entry < step.Entry)?.Stage;
            if (reading[step.Entry].Fact is FindingsLocked locked)
                foreach (var (key, f) in locked.Findings)
                    yield return (Numbered.NumberOf('f', key)!.Value, new FindingVersion(
                        step.Entry, null, null, after, null, null, f.Kind, f.Presence, f.Confidence, f.SeenBy, f.Place, f.Measure, f.Pictures, f.Text?.Value));
            else if (reading[step.Entry].Fact is FindingsRevised revised)
                foreach (var (key, f) in revised.Findings)
                    yield return (Numbered.NumberOf('f', key)!.Value, new FindingVersion(
                        step.Entry, f.Change, revised.Cause, after, reading.WhoMaybe(revised.SecondExaminer), revised.Reason?.Value, f.Kind, f.Presence,
                        f.Confidence, f.SeenBy, f.Place, f.Measure, f.Pictures, f.Text?.Value));
        }
    }
}
