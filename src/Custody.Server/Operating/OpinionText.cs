using Custody.Bats;
using Custody.Ledger;
using static Custody.Server.Operating.BenchText;

namespace Custody.Server.Operating;

/// <summary>Opinions, their review and the check of a lot's text in plain lines.</summary>
static class OpinionText
{
    public static IEnumerable<string> Of(RegradingReview review)
    {
        if (review.Opinions.Count == 0) yield return "No opinion is recorded.";
        foreach (var line in review.Opinions.SelectMany(Of)) yield return line;
        foreach (var line in review.Recomputed.SelectMany(Of)) yield return line;
        if (review.HousesDisagree) yield return "Houses disagree.";
        foreach (var line in review.Agreement.SelectMany(Of)) yield return line;
        foreach (var caution in review.Cautions) yield return caution;
    }

    static IEnumerable<string> Of(OpinionRead opinion)
    {
        yield return $"Opinion {Number(opinion.Entry)} of {Name(opinion.House)}, {Word(opinion.Origin)}, {opinion.Recorded.UtcDateTime:yyyy-MM-dd}: {Word(opinion.Standing)}{(opinion.IsPresent ? ", the house's present one" : "")}{(opinion.IsOpenWork ? ", waits to be looked at again" : "")}";
        foreach (var pair in opinion.Pairs)
            yield return $"  {Word(pair.Level)} against {Word(pair.Against)}: {(pair.For == SupportFor.Neither ? "supports neither" : $"{Word(pair.Word)} for the {Word(pair.For)}")}";
        if (opinion.Conclusion is { } conclusion) yield return $"  is reported to conclude: {Word(conclusion)}";
        if (opinion.Grade is { } grade) yield return $"  support {Word(grade.Support)}, use {Word(grade.Use)}, condition {Word(grade.Condition)}{(opinion.PicturesOnly ? "; from pictures only" : "")}";
        if (opinion.Graded is { } graded && graded.ByRubric != graded.Given)
            yield return $"  departs from the rubric, which gives support {Word(graded.ByRubric.Support)}, use {Word(graded.ByRubric.Use)}, condition {Word(graded.ByRubric.Condition)}";
        yield return $"  fee {Word(opinion.Fee)}, interests {(opinion.Interests.Count == 0 ? "none declared" : string.Join(", ", opinion.Interests.Select(Word)))}";
        if (opinion.RestedOn.Count > 0) yield return $"  rested on {string.Join(", ", opinion.RestedOn.Select(g => $"{Words.Split(g.Type)} {Number(g.Entry)} ({Word(g.Standing)})"))}";
        foreach (var since in opinion.Since) yield return $"  since: {Word(since.Kind)}, entry {Number(since.Entry)}{(since.UnderIt ? ", under this opinion" : "")}";
        foreach (var line in opinion.Examined.SelectMany(e => e.Words.Select(w => $"  examination {Number(e.Entry)}: {w}"))) yield return line;
    }

    public static IEnumerable<string> Of(OpinionRecomputed read)
    {
        yield return $"Opinion {Number(read.Opinion)} ({Words.Split(read.Type)}): {(read.Computed == 0 ? "stated only, nothing to compute again" : read.Holds ? "comes out the same" : "does not come out the same")}";
        foreach (var number in read.Numbers)
            yield return $"  {Word(number.Standing)}: {number.What}: {number.Recorded}{(number.Standing == NumberStanding.Differs ? $", now {number.Computed}" : number is { Standing: NumberStanding.Stated, Computed: { } leave } ? $"; the dated facts it names leave {leave}" : "")}{(number.Why is { } why ? $" ({why})" : "")}{(number.Method is { } method ? $" [{method}]" : "")}";
        if (read.Today is { } today)
            foreach (var line in Of(today)) yield return "  " + line;
        foreach (var caution in read.Cautions) yield return "  " + caution;
    }

    static IEnumerable<string> Of(NumbersToday today)
    {
        if (today.Changed.Count == 0) yield return "under today's files: the same";
        foreach (var moved in today.Changed) yield return $"under today's files: {moved.What}: {moved.From ?? "-"} becomes {moved.To ?? "-"}";
        foreach (var cause in today.Causes)
            yield return $"  because of {Words.Split(cause.Type)}, entry {Number(cause.Entry)} of {cause.Stream.Kind}, {cause.Recorded.UtcDateTime:yyyy-MM-dd}: {string.Join("; ", cause.Moved.Select(m => $"{m.What} {m.From ?? "-"} to {m.To ?? "-"}"))}";
        foreach (var refused in today.Refused) yield return $"  {refused.Sentence} ({refused.Code})";
        foreach (var against in today.Next)
        {
            yield return $"against {Word(against.Against)}: {against.Word}";
            foreach (var next in against.Next.Take(5))
                yield return $"  next: {Word(next.Kind)}{(next.Characteristic is { } n ? $" of characteristic {Number(n)}" : "")}: {next.Difference}"
                    + (next.ChangesWord ? $", to {next.Wording.Word}" : next.TimesToChangeWord is { } times ? $", {Number(times)} such would change the word" : ", changes no word")
                    + (next.Chance is { } chance ? $"; chance {chance}" : "");
        }
    }

    static IEnumerable<string> Of(ExaminationsCompared compared)
    {
        yield return $"Examination {Number(compared.First)} ({Name(compared.FirstExaminer)}) and {Number(compared.Second)} ({Name(compared.SecondExaminer)}{(compared.SameExaminer ? ", the same person" : "")}), within {compared.Tolerance.Inches} in and {compared.Tolerance.Degrees} degrees:";
        if (compared.Refused is { } refused) yield return $"  {refused.Sentence} ({refused.Code})";
        foreach (var finding in compared.Findings)
            yield return $"  {Word(finding.Agreement)}: {Word(finding.Kind)} {Key(finding.First)} / {Key(finding.Second)}";
        if (compared.Between.Count > 0) yield return $"  between: {string.Join(", ", compared.Between.Select(b => $"{Words.Split(b.Type)} {Number(b.Entry)}"))}";
    }

    public static IEnumerable<string> Of(CatalogueCheck check)
    {
        foreach (var claim in check.Claims)
        {
            yield return $"{Word(claim.Verdict)}: {Word(claim.Claim.Claim)}{(claim.Claim.Name is { } name ? " " + name : "")}{(claim.OnlyReported ? " (by reports only)" : "")}";
            foreach (var entry in claim.Supporting) yield return $"  for: entry {Number(entry.Entry)} ({Words.Split(entry.Type)}): {entry.Says}";
            foreach (var entry in claim.Against) yield return $"  against: entry {Number(entry.Entry)} ({Words.Split(entry.Type)}): {entry.Says}";
        }
        foreach (var caution in check.Cautions) yield return caution;
    }

    static string Key(int? finding) => finding is { } n ? "f" + Number(n) : "-";

    static string Name(Who who) => who.Name ?? who.Alias.ToString();
}
