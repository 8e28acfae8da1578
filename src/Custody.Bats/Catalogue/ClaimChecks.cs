using System.Text.Json;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Finds, for each kind of claim, the entries that support it and those that speak against it.</summary>
static class ClaimChecks
{
    internal static IEnumerable<(bool Supports, ClaimEntry Entry)> Bearing(Reading reading, CatalogueClaim claim) => claim.Claim switch
    {
        ClaimOf.Maker => Maker(reading, claim.Name!),
        ClaimOf.Seasons => OpinionClaims.Seasons(reading, claim.From!.Value, claim.To!.Value),
        ClaimOf.Player => OpinionClaims.Player(reading, claim.Name!, claim.Level!.Value, claim.Support!.Value),
        ClaimOf.Preparation => Mark(reading, claim.Mark!.Value, claim.Presence ?? Presence.Seen),
        ClaimOf.PictureComparison => Pictures(reading, claim.Source),
        ClaimOf.Title => Holding(reading, reading.On(claim.When!).Title, claim),
        ClaimOf.Custody => Holding(reading, reading.On(claim.When!).Custody, claim),
        ClaimOf.Opinion => OpinionClaims.Given(reading, claim.Name!),
        _ => Untreated(reading),
    };

    /// <summary>Findings as they stand, of every closed or open examination that is not void, latest examination first.</summary>
    static IEnumerable<(long Examination, FindingVersion Finding)> Found(Reading reading, Func<FindingKind, bool> of) =>
        reading.Examined().Where(e => e.Standing != EntryStanding.Void).Reverse()
            .SelectMany(e => e.Findings.Select(f => f.Now).OfType<FindingVersion>().Where(f => of(f.Kind)).Select(f => (e.Entry, f)));

    static IEnumerable<(bool, ClaimEntry)> Maker(Reading reading, string name)
    {
        foreach (var (_, finding) in Found(reading, kind => kind == FindingKind.Maker))
        {
            if (finding.Presence == Presence.Absent) yield return (false, Entry(reading, finding.Entry, "a maker's mark was looked for and is absent"));
            else if (finding is { Presence: Presence.Seen, Text: { } text })
                yield return text.Contains(name, StringComparison.OrdinalIgnoreCase)
                    ? (true, Entry(reading, finding.Entry, $"the maker's mark is described: {text}"))
                    : (false, Entry(reading, finding.Entry, $"the maker's mark is described in other words: {text}"));
        }
    }

    // The latest examination that could judge the mark speaks for the bat as it is; an earlier one that saw otherwise speaks of the bat as it was.
    static IEnumerable<(bool, ClaimEntry)> Mark(Reading reading, FindingKind mark, Presence presence)
    {
        var judged = Found(reading, kind => kind == mark).Where(f => f.Finding.Presence != Presence.NotAssessable).ToList();
        foreach (var (_, finding) in judged.Where(f => f.Examination == judged[0].Examination))
            yield return (finding.Presence == presence, Entry(reading, finding.Entry,
                $"{Words(mark)} {(finding.Presence == Presence.Seen ? "seen" : "looked for and absent")}, {Words(finding.Confidence)} confidence{(finding.Text is { } text ? ": " + text : "")}"));
    }

    static IEnumerable<(bool, ClaimEntry)> Pictures(Reading reading, long? source)
    {
        var bat = reading.State;
        foreach (var comparison in bat.PictureComparisons.ByEntry.Where(c => !bat.Corrections.IsVoid(c.Key) && (source ?? c.Value.Source) == c.Value.Source).Select(c => c.Value))
        {
            if (!bat.Corrections.Stands(comparison.Compared)) continue;
            var fell = Standings.Of(reading, comparison.Source) is EntryStanding.Withdrawn or EntryStanding.Void;
            yield return (comparison.Result == ComparisonResult.SameWoodSurface && !fell, Entry(reading, comparison.Compared!.Value,
                fell ? "the picture it rests on was withdrawn" : comparison.Result == ComparisonResult.SameWoodSurface ? "these show the same wood surface" : "inconclusive"));
        }
    }

    static IEnumerable<(bool, ClaimEntry)> Holding(Reading reading, IReadOnlyList<HeldOn> held, CatalogueClaim claim)
    {
        var named = held.Where(h => h.Holders.Any(x => IsCalled(x.Who, claim.Name!))).ToList();
        foreach (var link in named.Where(h => h.Certainty == Certainty.Certain)) yield return (true, Entry(reading, link.Entry, $"{claim.Name} through the whole time"));
        // Somebody else for certain, and nothing that makes the one claimed even possible; a holder whose name is not shown may be the one.
        if (named.Count == 0)
            foreach (var link in held.Where(h => h.Certainty == Certainty.Certain && h.State == LinkState.Held && h.Holders.All(x => x.Who.Name is not null)))
                yield return (false, Entry(reading, link.Entry, $"{string.Join(", ", link.Holders.Select(x => x.Who.Name))} through the whole time"));
    }

    static IEnumerable<(bool, ClaimEntry)> Untreated(Reading reading)
    {
        foreach (var entry in reading.Entries.Where(e => !e.IsVoid && e.Fact is BatTreated or TreatmentReported))
            yield return (false, Entry(reading, entry.N, entry.Fact is BatTreated ? "it was treated" : "a treatment is reported"));
        foreach (var (_, finding) in Found(reading, kind => FindingKinds.PartOf(kind) == FindingPart.LaterLife))
            if (finding.Presence == Presence.Seen) yield return (false, Entry(reading, finding.Entry, $"{Words(finding.Kind)} seen, {Words(finding.Confidence)} confidence"));
    }

    internal static ClaimEntry Entry(Reading reading, long n, string says) => new(n, reading[n].Fact.TypeName, reading[n].Fact.IsReport, says);

    internal static bool IsCalled(Who who, string name) => string.Equals(who.Name, name, StringComparison.OrdinalIgnoreCase);

    internal static string Words<T>(T word) where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(word.ToString()).Replace('-', ' ');
}
