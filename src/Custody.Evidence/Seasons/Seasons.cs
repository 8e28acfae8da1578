using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>When a bat can have been used: the seasons that dated facts about making, shipping, marking and playing leave open.</summary>
public static class Seasons
{
    /// <summary>Longest lag read: more than a century.</summary>
    public const long MostLagDays = 40_000;

    /// <summary>
    /// Computes feasible seasons. Refuses <c>seasons-fact-twice</c> (two of one id), <c>seasons-fact-empty</c> (no dates) and
    /// <c>seasons-lag</c> (moments that are no neighbours, or days negative, in the wrong order or beyond <see cref="MostLagDays"/>), <c>seasons-too-many</c>.
    /// </summary>
    public static bool TryFind(IReadOnlyList<DatingFact> facts, IReadOnlyList<UsualLag> lags, [NotNullWhen(true)] out FeasibleSeasons? seasons,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = Check(facts, lags);
        seasons = refusal is null
            ? new FeasibleSeasons(View([.. facts.Where(f => !f.IsAboutPlayer)], lags), View(facts, lags)) : null;
        return seasons is not null;
    }

    /// <summary>Why nothing can be computed from these; null when it can. Looks at their form only.</summary>
    public static EvidenceRefusal? Check(IReadOnlyList<DatingFact> facts, IReadOnlyList<UsualLag> lags) =>
        facts.Count + lags.Count > Timeline.MostRestraints
            ? new("seasons-too-many", $"There are more than {Timeline.MostRestraints} facts and lags.", "Leave out those that bind nothing.")
        : facts.Select(f => f.Id).Concat(lags.Select(l => l.Id)).GroupBy(id => id, StringComparer.Ordinal).Any(g => g.Count() > 1)
            ? new("seasons-fact-twice", "Two facts have one name.", "Name each fact once.")
            : facts.Any(f => f.Within.Count == 0)
                ? new("seasons-fact-empty", "A fact has no dates.", "Give at least one date or interval, or leave the fact out.")
                : lags.Any(l => !Timeline.AreNeighbours(l.From, l.To) || l.LeastDays < 0 || l.MostDays < l.LeastDays || l.MostDays > MostLagDays)
                    ? new("seasons-lag", "A lag is not between neighbouring moments, or its days are out of order.", "Give least and most days from a moment to the next.")
                    : null;

    static SeasonsView View(IReadOnlyList<DatingFact> facts, IReadOnlyList<UsualLag> lags)
    {
        var hard = facts.Where(f => !f.IsUsual).Select(Of).ToList();
        var usual = new Timeline([.. hard, .. facts.Where(f => f.IsUsual).Select(Of), .. lags.Select(Of)]);
        var firm = new Timeline(hard);
        return new SeasonsView(Runs(firm), Runs(usual), Conflicts.Of(firm, null), Conflicts.Of(usual, null), [.. facts.Select(f => f.Id)],
            facts.Any(f => f.Within.Any(d => d.IsQualified)));
    }

    static Restraint Of(DatingFact fact) =>
        new(fact.Id, fact.Moment, DaySet.Of(fact.Within.SelectMany(d => d.Alternatives).Select(a => new DayRun(a.StartLo, a.EndHi))), default, 0, 0);

    static Restraint Of(UsualLag lag) => new(lag.Id, lag.From, null, lag.To, lag.LeastDays, lag.MostDays);

    static List<FeasibleRun> Runs(Timeline restraints) =>
        [.. Years(restraints.UseDays(restraints.All)).Select(y => new FeasibleRun(y.First, y.Last,
            y.First is { } first ? Against(restraints, first - 1) : new ConflictList([], true),
            y.Last is { } last ? Against(restraints, last + 1) : new ConflictList([], true)))];

    /// <summary>Why a season is excluded.</summary>
    static ConflictList Against(Timeline restraints, long year) =>
        Conflicts.Of(restraints, DaySet.Of([new DayRun(Day.FirstOf(year, 1).Number, Day.LastOf(year, 12).Number)]));

    static List<(long? First, long? Last)> Years(DaySet days)
    {
        var years = new List<(long? First, long? Last)>();
        foreach (var run in days.Runs)
        {
            var first = run.Lo == Alternative.Past ? (long?)null : new Day(run.Lo).Date.Year;
            var last = run.Hi == Alternative.Future ? (long?)null : new Day(run.Hi).Date.Year;
            if (years.Count > 0 && first <= years[^1].Last + 1)
                years[^1] = (years[^1].First, last);
            else
                years.Add((first, last));
        }
        return years;
    }
}
