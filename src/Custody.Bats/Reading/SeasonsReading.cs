using Custody.Evidence;

namespace Custody.Bats;

/// <summary>A dated fact of the record that does not count, and why.</summary>
/// <param name="Fact">Its name in the entry.</param>
public sealed record DatingLeftOut(long Entry, string Fact, DatingLeftOutReason Reason);

public enum DatingLeftOutReason
{
    SourceWithdrawn,
    SourceVoid,
}

/// <summary>The seasons in which a bat can have been used, from the dates recorded for it and from pictures that show this very wood.</summary>
/// <param name="LeftOut">Recorded facts that do not count.</param>
/// <param name="Report">Null when refused.</param>
/// <param name="Refused">Why nothing could be computed: more facts than can be taken together.</param>
public sealed record BatSeasons(SeasonsReport? Report, IReadOnlyList<DatingLeftOut> LeftOut, Refusal? Refused)
{
    /// <param name="only">Entries whose dated facts are taken; every one that counts when null.</param>
    internal static BatSeasons Read(Reading reading, IReadOnlyList<long>? only = null)
    {
        var recorded = reading.Standing<DatingRecorded>()
            .Where(d => only?.Contains(d.At.N) != false && Datings.Counts(reading.State, reading.State.Datings.ByEntry, d.At.N)).ToList();
        List<DatingLeftOut> left = [];
        List<DatingFact> facts = [];
        foreach (var (at, fact) in recorded)
        {
            foreach (var (key, read) in fact.Facts.Keys.Zip(fact.Read(at.N)))
            {
                if (WhyNot(reading, fact.Facts[key].Source) is { } why) left.Add(new(at.N, key, why));
                else facts.Add(read);
            }
        }
        facts.AddRange(OfPictures(reading).Where(p => only?.Contains(p.Entry) != false).Select(p => p.Fact));
        var made = SeasonsReport.TryMake(facts, [.. recorded.SelectMany(d => d.Fact.ReadLags(d.At.N))], out var report, out var refusal);
        return new BatSeasons(made ? report : null, left, refusal is null ? null : new(refusal.Code, refusal.Sentence, refusal.Remedy));
    }

    static DatingLeftOutReason? WhyNot(Reading reading, long? source) =>
        source is not { } n ? null
        : reading.State.Corrections.IsVoid(n) ? DatingLeftOutReason.SourceVoid
        : reading.State.Corrections.Stands(reading.State.Sources.ByEntry[n].Withdrawn) ? DatingLeftOutReason.SourceWithdrawn : null;

    /// <summary>A dated picture that shows the same wood: in play it bounds use, else only making.</summary>
    static IEnumerable<(long Entry, DatingFact Fact)> OfPictures(Reading reading)
    {
        var corrections = reading.State.Corrections;
        var same = reading.State.PictureComparisons.ByEntry.Where(c => !corrections.IsVoid(c.Key) && corrections.Stands(c.Value.Compared)
            && c.Value.Result == ComparisonResult.SameWoodSurface && WhyNot(reading, c.Value.Source) is null);
        foreach (var (n, comparison) in same)
        {
            if (reading.State.Sources.ByEntry[comparison.Source] is not { When: { } when } source) continue;
            if (source.Play == PlayShown.InPlay)
                yield return (n, new DatingFact($"{n}.picture", BatMoment.Used, [when], false, false, $"entry {comparison.Source}: a picture in play that shows the same wood surface"));
            else if (when.LatestEnd is { IsDay: true } last)
                yield return (n, new DatingFact($"{n}.picture", BatMoment.Made, [Edtf.Parse("../" + last.Day)], false, false, $"entry {comparison.Source}: a picture, not in play, that shows the same wood surface"));
        }
    }
}
