namespace Custody.Bats;

/// <summary>An entry that the examination may not see yet: which stage opens it, and nothing of what it says.</summary>
public sealed record HeldBack(long Entry, Stage Stage);

/// <summary>A bat as one open examination may see it: entries that could sway the examiner are held back until they are unmasked in turn. A pure function of
/// the history, so that what an examiner was shown at any moment can be told again.</summary>
/// <param name="Open">False once it was closed: then nothing is held back any more.</param>
/// <param name="Next">The stages that may still be opened, in order; none before the findings are locked.</param>
/// <param name="Seen">Entries the examiner may look at.</param>
/// <param name="Words">What this is, and what it cannot promise.</param>
public sealed record BlindView(
    long Examination, Blinding Blinding, bool Open, bool Locked, IReadOnlyList<Stage> Next, IReadOnlyList<HeldBack> HeldBack, IReadOnlyList<long> Seen,
    IReadOnlyList<string> Words)
{
    /// <summary>The bench of an examination; null when entry <paramref name="n"/> is none.</summary>
    internal static BlindView? Read(Reading reading, long n)
    {
        if (!reading.State.Examinations.ByEntry.TryGetValue(n, out var examination)) return null;
        var corrections = reading.State.Corrections;
        var (open, locked) = (!corrections.IsVoid(n) && !corrections.Stands(examination.Closed), corrections.Stands(examination.Locked));
        var standing = examination.Unmasked.Where(u => corrections.Stands(u.Entry)).ToList();
        var blind = open && examination.Blinding == Blinding.FixedOrder;
        var shown = standing.SelectMany(u => u.Shown).ToHashSet();
        HeldBack[] held = !blind ? [] :
            [.. reading.Entries.Where(e => !shown.Contains(e.N)).Select(e => (e.N, Stage: Stages.Of(reading, n, e))).Where(e => e.Stage is not null)
                .Select(e => new HeldBack(e.N, e.Stage!.Value))];
        var reached = standing.Where(u => u.How == SeenHow.Opened).Select(u => (Stage?)u.Stage).Max();
        Stage[] next = blind && locked ? [.. Enum.GetValues<Stage>().Where(s => reached is null || s >= reached)] : [];
        return new BlindView(
            n, examination.Blinding, open, locked, next, held, [.. reading.Entries.Select(e => e.N).Except(held.Select(h => h.Entry))], [.. Said(blind, open, examination)]);
    }

    static IEnumerable<string> Said(bool blind, bool open, Examination examination)
    {
        yield return blind
            ? "Prior opinions, sources, estimates and prices are held back here until the findings are locked and each is opened in turn."
            : open ? "This examination is not blind: nothing is held back. That is allowed, and it shows." : "This examination is closed: nothing is held back any more.";
        if (examination.KnownBefore.Count > 0) yield return "Some of it was known before, as the examiner states; holding it back takes nothing away from that.";
        yield return ExaminationWords.Reach;
    }
}
