using System.Text.Json;

namespace Custody.Bats;

/// <summary>The order of an examination and its effect, in words. They never claim more than what was opened through the ledger.</summary>
static class ExaminationWords
{
    public const string Reach = "The ledger knows what was opened through it, and when. What was seen or heard elsewhere it does not know.";

    public static IEnumerable<string> Of(ExaminationOpened opened, bool? kept, IReadOnlyList<BenchStep> steps, IReadOnlyList<FindingHistory> findings)
    {
        var unmasked = steps.Where(s => s.Kind == BenchStepKind.Unmasked).ToList();
        yield return opened.KnownBefore.Count == 0
            ? "The examiner states that nothing was known before the bat was looked at."
            : $"Known before the bat was looked at, as the examiner states: {string.Join(", ", opened.KnownBefore.Select(Words))}.";
        yield return kept switch
        {
            null => "This examination was not blind. That is allowed, and it is said.",
            true when unmasked.Count == 0 => "Nothing was opened through this ledger besides the bat.",
            true => $"The findings were locked before anything was opened through this ledger; then in turn: {string.Join(", ", unmasked.Select(s => Words(s.Stage!.Value)))}.",
            false => $"The order was broken: {string.Join(", ", unmasked.Where(s => s.How != SeenHow.Opened || s.AfterLock != true).Select(s => $"{Words(s.Stage!.Value)} (entry {s.Entry}{(s.How == SeenHow.ByAccident ? ", by accident" : ", before the findings were locked")})"))}.",
        };
        var changed = findings.SelectMany(f => f.Versions.Skip(1).Select((v, i) => (f.Number, Was: f.Versions[i], Now: v))).ToList();
        if (steps.Any(s => s.Kind == BenchStepKind.Locked) && changed.Count == 0) yield return "No locked finding has changed since.";
        foreach (var (number, was, now) in changed) yield return Change(number, was, now);
        foreach (var added in findings.Where(f => f.Versions[0].Change == RevisionKind.Added))
            yield return $"{Numbered.Key('f', added.Number)} was added {When(added.Versions[0])} ({Words(added.Versions[0].Confidence)} confidence).";
        yield return Reach;
    }

    static string Change(int number, FindingVersion was, FindingVersion now) =>
        $"{Numbered.Key('f', number)} ({Words(now.Kind)}) was {(now.Change == RevisionKind.TakenBack ? "taken back" : "changed")} {When(now)}: "
        + $"{Words(was.Presence)}, {Words(was.Confidence)} confidence before"
        + (now.Change == RevisionKind.TakenBack ? "." : $"; {Words(now.Presence)}, {Words(now.Confidence)} confidence now.");

    static string When(FindingVersion now) =>
        (now.After is { } stage ? $"after {Words(stage)} had been opened" : "before anything had been opened") + $" (entry {now.Entry}, {Words(now.Cause!.Value)})";

    // Enumerated words are the trade's own; only their spelling as one word is the format's.
    static string Words<T>(T word) where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(word.ToString()).Replace('-', ' ')
        // The one word of them that needs an apostrophe in English.
        .Replace("others opinions", "others' opinions", StringComparison.Ordinal);
}
