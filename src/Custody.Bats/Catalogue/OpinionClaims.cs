using static Custody.Bats.ClaimChecks;

namespace Custody.Bats;

/// <summary>Claims that rest on what houses concluded. Only opinions that stand count, each house's present one; a withdrawn one speaks against whoever
/// still claims it.</summary>
static class OpinionClaims
{
    static IEnumerable<OpinionRead> Present(Reading reading) => reading.Opinions().Opinions.Where(o => o.IsPresent);

    /// <summary>A claim covers what was found feasible: supported when it holds every season of it, contradicted when it holds none.</summary>
    internal static IEnumerable<(bool, ClaimEntry)> Seasons(Reading reading, int from, int to)
    {
        foreach (var opinion in Present(reading).Where(o => o.Seasons is { UnderPlayer.Count: > 0 }))
        {
            var runs = opinion.Seasons!.UnderPlayer;
            var says = "seasons " + string.Join(", ", runs.Select(r => $"{r.From?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "any"} to {r.To?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "any"}"));
            if (runs.All(r => from <= r.From && r.To <= to)) yield return (true, Entry(reading, opinion.Entry, says));
            else if (runs.All(r => r.To < from || r.From > to)) yield return (false, Entry(reading, opinion.Entry, says));
        }
    }

    internal static IEnumerable<(bool, ClaimEntry)> Player(Reading reading, string name, PropositionLevel level, SupportWord least)
    {
        foreach (var opinion in Present(reading))
        {
            var who = PlayerOf(reading, opinion.Entry);
            var pairs = opinion.Pairs.Where(p => p.Level == level).ToList();
            // A level that names no player (used in play) is claimed of the bat whoever the player is.
            var sameMan = who is { } player ? IsCalled(player, name) : level is PropositionLevel.UsedInPlay or PropositionLevel.MadeForProfessionalUse;
            if (sameMan && pairs.Count > 0)
                yield return (pairs.All(p => p.For == SupportFor.Proposition && p.Word >= least), Entry(reading, opinion.Entry, Says(pairs)));
            else if (sameMan && opinion.Level == level && opinion.Conclusion is ReportedConclusion.Supports or ReportedConclusion.SupportsAlternative or ReportedConclusion.Neither)
                // A report tells no strength: it supports a weak claim and no stronger one.
                foreach (var bearing in Reported(reading, opinion, least)) yield return bearing;
            else if (who?.Name is { } other && !sameMan && pairs.Count > 0 && pairs.All(p => p.For == SupportFor.Proposition))
                yield return (false, Entry(reading, opinion.Entry, $"speaks of another player ({other}): {Says(pairs)}"));
        }
    }

    static IEnumerable<(bool, ClaimEntry)> Reported(Reading reading, OpinionRead opinion, SupportWord least)
    {
        if (opinion.Conclusion != ReportedConclusion.Supports) yield return (false, Entry(reading, opinion.Entry, $"is reported to conclude: {Words(opinion.Conclusion!.Value)}"));
        else if (least == SupportWord.Weak) yield return (true, Entry(reading, opinion.Entry, "is reported to support it; how strongly is not told"));
    }

    internal static IEnumerable<(bool, ClaimEntry)> Given(Reading reading, string house)
    {
        foreach (var opinion in reading.Opinions().Opinions.Where(o => IsCalled(o.House, house)))
        {
            if (opinion.IsPresent) yield return (true, Entry(reading, opinion.Entry, "the house's present opinion"));
            else if (opinion.Standing == EntryStanding.Withdrawn && !reading.Opinions().Opinions.Any(o => o.IsPresent && o.House.Alias == opinion.House.Alias))
                yield return (false, Entry(reading, opinion.Entry, $"withdrawn (entry {opinion.WithdrawnBy})"));
        }
    }

    static Who? PlayerOf(Reading reading, long opinion) => reading.WhoMaybe(reading[opinion].Fact switch
    {
        IGivenOpinion given => given.Player,
        OpinionReported reported => reported.Player,
        _ => null,
    });

    static string Says(IEnumerable<PairInWords> pairs) => string.Join("; ", pairs.Select(p =>
        p.For == SupportFor.Neither ? $"supports neither, against {Words(p.Against)}" : $"{Words(p.Word)} support for the {Words(p.For)}, against {Words(p.Against)}"));
}
