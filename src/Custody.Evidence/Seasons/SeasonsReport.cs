using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>A run of days for drawing; null where nothing limits it.</summary>
public sealed record DrawnDays(string? First, string? Last);

/// <summary>A fact or lag as a page draws it: one bar for each run of days.</summary>
/// <param name="Id">Its name.</param>
/// <param name="Moment">What it bounds.</param>
/// <param name="IsUsual">A soft bound.</param>
/// <param name="IsAboutPlayer">Holds only if the player used the bat.</param>
/// <param name="Source">Where it stands.</param>
/// <param name="Written">The dates as written.</param>
/// <param name="Days">The days they allow, ascending.</param>
public sealed record DrawnFact(
    string Id, BatMoment Moment, bool IsUsual, bool IsAboutPlayer, string Source, IReadOnlyList<Edtf> Written, IReadOnlyList<DrawnDays> Days);

/// <summary>Feasible seasons with everything they were computed from and what a page needs to draw them.</summary>
/// <param name="Method">Name and version of the method.</param>
/// <param name="Facts">The facts, in the order given.</param>
/// <param name="Lags">The usual lags.</param>
/// <param name="BatAlone">What facts about the bat leave.</param>
/// <param name="UnderPlayer">What is left if the player used it.</param>
/// <param name="Cautions">What the result is not.</param>
public sealed record SeasonsReport(
    string Method, IReadOnlyList<DrawnFact> Facts, IReadOnlyList<UsualLag> Lags, SeasonsView BatAlone, SeasonsView UnderPlayer, IReadOnlyList<string> Cautions)
{
    /// <summary>
    /// Name and version of the method: interval constraints on ordered moments (Allen, Maintaining knowledge about temporal intervals, 1983; here on
    /// points, where passing bounds along a tree is exact), conflicts by Reiter's hitting-set tree (1987).
    /// </summary>
    public const string MethodName = "seasons/1";

    /// <summary>Computes seasons; refuses as <see cref="Seasons.TryFind"/>.</summary>
    public static bool TryMake(IReadOnlyList<DatingFact> facts, IReadOnlyList<UsualLag> lags, [NotNullWhen(true)] out SeasonsReport? report,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        report = Seasons.TryFind(facts, lags, out var found, out refusal)
            ? new SeasonsReport(MethodName, [.. facts.Select(Drawn)], lags, found.BatAlone, found.UnderPlayer, [.. Cautioned(facts, found)]) : null;
        return report is not null;
    }

    static DrawnFact Drawn(DatingFact fact) => new(fact.Id, fact.Moment, fact.IsUsual, fact.IsAboutPlayer, fact.Source, fact.Within,
        [.. DaySet.Of(fact.Within.SelectMany(d => d.Alternatives).Select(a => new DayRun(a.StartLo, a.EndHi))).Runs.Select(r => new DrawnDays(
            r.Lo == Alternative.Past ? null : new Day(r.Lo).ToString(), r.Hi == Alternative.Future ? null : new Day(r.Hi).ToString()))]);

    static IEnumerable<string> Cautioned(IReadOnlyList<DatingFact> facts, FeasibleSeasons found)
    {
        yield return "Feasible seasons say when the bat can have been used, not that it was used.";
        if (facts.Any(f => f.IsAboutPlayer))
            yield return "Facts about the player count only under the proposition that he used the bat; they are no evidence for it.";
        if (facts.Count > 0)
            yield return "A fact used here is spent: it does not score under \"who\" as well, unless that is conditioned on the season.";
        if (found.UnderPlayer.RestsOnQualified)
            yield return "Some dates are marked uncertain or approximate; bounds are taken as written.";
        if (!found.UnderPlayer.Conflicts.IsComplete || !found.UnderPlayer.UsualConflicts.IsComplete)
            yield return "There are more sets of conflicting facts than are listed.";
    }
}
