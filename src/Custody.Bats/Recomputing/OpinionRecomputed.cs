using System.Globalization;
using System.Text.Json;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How a number of an opinion stands to what comes out again.</summary>
public enum NumberStanding
{
    /// <summary>The same text.</summary>
    Same,

    /// <summary>Another text.</summary>
    Differs,

    /// <summary>The examiner's own; nothing here computed it, and nothing is wrong with that.</summary>
    Stated,

    /// <summary>Said to be computed, and nothing comes out.</summary>
    NotComputable,
}

/// <summary>One number of an opinion, as recorded and as it comes out again.</summary>
/// <param name="What">Which number, in words that never change.</param>
/// <param name="Computed">What comes out; of stated seasons what the dated facts they name leave, null where they name none.</param>
/// <param name="Method">By which method and version it is said to be computed; null when stated.</param>
/// <param name="Why">Why nothing comes out.</param>
public sealed record NumberChecked(string What, string? Recorded, string? Computed, string? Method, NumberStanding Standing, string? Why = null);

/// <summary>An opinion recomputed from the ledger alone.</summary>
/// <param name="Holds">Every number that is said to be computed comes out as the same text. True also where all are stated: then there is nothing to fail.</param>
/// <param name="Computed">How many numbers are said to be computed.</param>
/// <param name="Today">What would come out under today's files and record; null when not asked for, or nothing is computed.</param>
public sealed record OpinionRecomputed(
    long Opinion, string Type, bool Holds, int Computed, IReadOnlyList<NumberChecked> Numbers, NumbersToday? Today, IReadOnlyList<string> Cautions)
{
    /// <summary>Recomputes an opinion given here; null when entry <paramref name="n"/> is none.</summary>
    /// <param name="streams">The files and rubrics it cites.</param>
    /// <param name="today">Also tell what would come out now, with the causes in order.</param>
    public static OpinionRecomputed? Of(History history, long n, CitedStreams streams, bool today)
    {
        if (n < 1 || n > history.Entries.Count || history.Entries[(int)n - 1].Fact is not IGivenOpinion given) return null;
        var computed = given as IComputedOpinion;
        var basis = computed is null ? null : OpinionBasis.Of(computed);
        // What the record held just before: later corrections make no earlier number wrong.
        var numbers = basis is null ? null : OpinionNumbers.Of(history.UpTo(n - 1), basis, streams);
        NumberChecked[] all = [.. Pairs(given, numbers), .. Seasons(history, n, given, numbers), .. Grade(given, numbers), .. Surroundings.Checked(computed, numbers)];
        var count = all.Count(c => c.Standing != NumberStanding.Stated);
        return new OpinionRecomputed(
            n, ((Fact)given).TypeName, all.All(c => c.Standing is NumberStanding.Same or NumberStanding.Stated), count, all,
            today && computed is not null && (count > 0 || computed.Seasons is { Dated.Count: > 0 }) ? NumbersToday.Of(history, n, computed, streams) : null, [.. Said(given, all)]);
    }

    static IEnumerable<NumberChecked> Pairs(IGivenOpinion given, OpinionNumbers? numbers)
    {
        foreach (var pair in given.Pairs)
        {
            var what = Named(pair);
            if (pair.Method != NumberMethod.Weight1)
            {
                yield return new($"{what}: word", Told(pair), null, null, NumberStanding.Stated);
                if (pair.Weight is not null) yield return new($"{what}: weight", Texts(pair), null, null, NumberStanding.Stated);
                continue;
            }
            var again = numbers!.Pairs.FirstOrDefault(p => p.Method == NumberMethod.Weight1 && (p.Level, p.Against) == (pair.Level, pair.Against));
            var why = again is null ? numbers.WhyNot ?? "pair-not-computed" : null;
            yield return Checked($"{what}: weight", Texts(pair), again is null ? null : Texts(again), WeightNumbers.Method, why);
            yield return Checked($"{what}: word", Told(pair), again is null ? null : Told(again), WeightNumbers.Method, why);
        }
    }

    static IEnumerable<NumberChecked> Seasons(History history, long n, IGivenOpinion given, OpinionNumbers? numbers)
    {
        if (given is not IComputedOpinion { Seasons: { } found })
        {
            if (given is OpinionGiven { Seasons: { Count: > 0 } stated })
                yield return new("seasons under the player", Runs(stated.Select(r => new SeasonSpan(r.From, r.To))), null, null, NumberStanding.Stated);
            yield break;
        }
        if (found.Method == SeasonsMethod.Stated)
        {
            // What the facts named leave stands beside what the examiner states, and never against it: he may know more.
            var (leave, none) = found.Dated.Count == 0 ? (null, null) : OpinionNumbers.SeasonsFrom(history.UpTo(n - 1), found.Dated);
            yield return new("seasons, the bat alone", Runs(found.BatAlone), leave is null ? null : Runs(leave.BatAlone), null, NumberStanding.Stated, none?.Code);
            yield return new("seasons under the player", Runs(found.UnderPlayer), leave is null ? null : Runs(leave.UnderPlayer), null, NumberStanding.Stated, none?.Code);
            yield break;
        }
        var (again, why) = (numbers!.Seasons, numbers.Seasons is null ? numbers.WhyNot : null);
        yield return Checked("seasons, the bat alone", Runs(found.BatAlone), again is null ? null : Runs(again.BatAlone), SeasonsReport.MethodName, why);
        yield return Checked("seasons under the player", Runs(found.UnderPlayer), again is null ? null : Runs(again.UnderPlayer), SeasonsReport.MethodName, why);
        yield return Checked("entries of dated facts", Entries(found.Dated.Order()), again is null ? null : Entries(again.Dated), SeasonsReport.MethodName, why);
    }

    static IEnumerable<NumberChecked> Grade(IGivenOpinion given, OpinionNumbers? numbers)
    {
        if (given is IComputedOpinion { Graded: { } graded })
            yield return Checked("grade by the rubric", Told(graded.ByRubric), numbers!.Grade is { } again ? Told(again.Grade) : null, RubricGrading.Method,
                numbers.Grade is null ? numbers.WhyNot : null);
        else if (given.Grade is { } stated) yield return new("grade", Told(stated), null, null, NumberStanding.Stated);
    }

    internal static NumberChecked Checked(string what, string? recorded, string? computed, string method, string? why = null) => new(
        what, recorded, computed, method,
        computed is null ? NumberStanding.NotComputable : string.Equals(recorded, computed, StringComparison.Ordinal) ? NumberStanding.Same : NumberStanding.Differs, why);

    static IEnumerable<string> Said(IGivenOpinion given, NumberChecked[] all)
    {
        if (all.Any(c => c.Standing != NumberStanding.Stated))
            yield return "A number that comes out again was computed rightly from what was put in. Whether what was put in is true, no computation can say.";
        if (all.Any(c => c.Standing == NumberStanding.Stated)) yield return "What is marked stated is the examiner's own word; nothing here computed it.";
        if (all.Any(c => c.Method == WeightNumbers.Method))
            yield return "A weight says how much better the findings fit one proposition than the other. It is not the probability that either is true.";
        if (all.Any(c => c.Method == SurfaceMap.Method)) yield return BatZones.Caution;
        if (all.Any(c => c.Method == Contacts.Method)) yield return "A list of places is never complete: a place that is not in it is always possible.";
        if (given.Interests.Count > 0) yield return $"Declared interests: {string.Join(", ", given.Interests.Select(Word))}; fee {Word(given.Fee)}.";
        yield return Warranty.Text;
    }

    internal static string Named(Weighing pair) => $"{Word(pair.Level)}, {Word(pair.Against)}";

    internal static string Texts(Weighing pair) =>
        $"{pair.Weight?.Value.Text ?? "-"} ({pair.Low?.Value.Text ?? "-"} to {pair.High?.Value.Text ?? "-"})";

    internal static string Told(Weighing pair) => pair.For == SupportFor.Neither ? "supports neither" : $"{Word(pair.Word)} support for the {Word(pair.For)}";

    internal static string Told(Grade grade) =>
        $"support {(grade.For == SupportFor.Neither ? "neither" : $"{Word(grade.Support)} for the {Word(grade.For)}")}, use {Word(grade.Use)}, condition {Word(grade.Condition)}";

    internal static string Runs(IEnumerable<SeasonSpan> runs) =>
        string.Join(", ", runs.Select(r => $"{Year(r.From)} to {Year(r.To)}")) is { Length: > 0 } told ? told : "none";

    static string Year(int? year) => year?.ToString(CultureInfo.InvariantCulture) ?? "any";

    static string Entries(IEnumerable<long> entries) => string.Join(", ", entries.Select(n => n.ToString(CultureInfo.InvariantCulture)));

    static string Word<T>(T word) where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(word.ToString()).Replace('-', ' ');
}
