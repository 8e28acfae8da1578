using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Which entries of a bat sway an examiner, and at which stage each may be looked at (the order of domain.md's Examining; Linear Sequential
/// Unmasking: Dror and others 2015, Dror and Kukucka 2021). What bears no stage may be seen from the beginning.</summary>
static class Stages
{
    /// <summary>The stage of an entry for an examination, from the fold: sources, comparisons, examinations, opinions, lots and sales.</summary>
    public static Stage? Of(Bat bat, long examination, long n)
    {
        var examiner = bat.Examinations.ByEntry[examination].Examiner;
        if (bat.Sources.ByEntry.TryGetValue(n, out var source)) return Of(source.Kind);
        if (bat.PictureComparisons.ByEntry.ContainsKey(n)) return Stage.Sources;
        if (bat.Opinions.ByEntry.TryGetValue(n, out var opinion)) return opinion.Examiners.Contains(examiner) ? Stage.OwnEarlierFindings : Stage.OthersOpinions;
        if (bat.Examinations.ByEntry.FirstOrDefault(e => e.Key == n || e.Value.Locked == n || e.Value.Closed == n || e.Value.Revised.Contains(n)
            || e.Value.Unmasked.Exists(u => u.Entry == n)) is { Key: > 0 } other)
            return other.Key == examination ? null : other.Value.Examiner == examiner ? Stage.OwnEarlierFindings : Stage.OthersOpinions;
        return bat.Lots.ByEntry.Any(l => l.Key == n || l.Value.Steps.ContainsKey(n))
            || bat.Sales.ByEntry.Any(s => s.Key == n || s.Value.Steps.ContainsKey(n) || s.Value.Payments.ContainsKey(n)) ? Stage.Price : null;
    }

    /// <summary>The stage of an entry, also of those that only speak of another one.</summary>
    public static Stage? Of(Reading reading, long examination, Noted noted) => noted.Fact switch
    {
        EntryCorrected { Of.N: var target } when target != noted.N => Of(reading, examination, reading[target]),
        EntryConfirmed { Confirmed: var target } => Of(reading, examination, reading[target]),
        SourceWithdrawn { Source: var source } => Of(reading.State, examination, source),
        OpinionWithdrawn { Opinion: var opinion } => Of(reading.State, examination, opinion),
        OpinionWithdrawalReported { Opinion: var opinion } => Of(reading.State, examination, opinion),
        ReplyRecorded { Opinion: var opinion } => Of(reading.State, examination, opinion),
        DatingRecorded dated => dated.Facts.Values.Any(f => f.Basis is DatingBasis.FactoryRecord or DatingBasis.ClubRecord) ? Stage.FactoryRecord : Stage.Sources,
        FeaturesLocked or PicturesCompared or WhereaboutsListed => Stage.Sources,
        LabelIssued { Opinions.Count: > 0 } => Stage.OthersOpinions,
        LotAmended => Stage.Price,
        // Whatever can carry an amount is a price, also in acts still to come.
        var fact when Shapes.Of(fact.GetType()).Any(m => m.PropertyType == typeof(Withheld<Money>)) => Stage.Price,
        _ => Of(reading.State, examination, noted.N),
    };

    static Stage Of(SourceKind kind) => kind is SourceKind.FactoryRecord or SourceKind.ClubRecord ? Stage.FactoryRecord : Stage.Sources;
}
