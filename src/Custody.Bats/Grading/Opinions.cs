using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>Given here under the rules, or reported of elsewhere.</summary>
public enum OpinionOrigin
{
    Given,
    Reported,
}

/// <summary>A pair of propositions in words.</summary>
public sealed record PairInWords(PropositionLevel Level, Alternative Against, SupportFor For, SupportWord Word);

/// <summary>One opinion, by the number of its <c>OpinionGiven</c> or <c>OpinionReported</c>.</summary>
/// <param name="House">The examining house, or whoever gave it elsewhere.</param>
/// <param name="Day">Day it was given, counted from 0001-01-01: of a report the stated date where it has one, otherwise of recording.</param>
/// <param name="Withdrawn">Number of the entry that withdrew it or reported its withdrawal.</param>
public sealed record Opinion(OpinionOrigin Origin, Alias House, long Day, FeeTerms Fee, Grade? Grade, bool PicturesOnly, long? Withdrawn)
{
    public ImmutableList<Alias> Examiners { get; init; } = [];
    public ImmutableList<DeclaredInterest> Interests { get; init; } = [];
    public ImmutableList<PairInWords> Pairs { get; init; } = [];

    /// <summary>What a reported opinion speaks of and concludes, as far as the report tells; null for one given here.</summary>
    public PropositionLevel? Level { get; init; }

    public ReportedConclusion? Conclusion { get; init; }

    /// <summary>The sides it takes. A report names no alternative, so it meets every one of its level.</summary>
    internal IEnumerable<(PropositionLevel Level, Alternative? Against, SupportFor For)> Sides() =>
        Pairs.Select(p => (p.Level, (Alternative?)p.Against, p.For))
            .Concat(Level is { } level ? [(level, null, Conclusion switch
            {
                ReportedConclusion.Supports => SupportFor.Proposition,
                ReportedConclusion.SupportsAlternative => SupportFor.Alternative,
                _ => SupportFor.Neither,
            })] : [])
            .Where(s => s.Item3 != SupportFor.Neither);

    /// <summary>Takes the opposite side of one of the other's pairs of propositions.</summary>
    internal bool Opposes(Opinion other) => Sides().Any(a => other.Sides().Any(b =>
        a.Level == b.Level && a.For != b.For && (a.Against is null || b.Against is null || a.Against == b.Against)));

    public ImmutableList<GradeAxis> Departures { get; init; } = [];

    /// <summary>Entries of this bat it rests on.</summary>
    public ImmutableSortedSet<long> RestsOn { get; init; } = ImmutableSortedSet<long>.Empty;

    /// <summary>Versions of habit files and comparison files it was weighed against.</summary>
    public ImmutableList<Reference> Files { get; init; } = [];

    /// <summary>Opinions of the same house it takes the place of.</summary>
    public ImmutableSortedSet<long> Supersedes { get; init; } = ImmutableSortedSet<long>.Empty;

    /// <summary>Numbers of the <c>ReplyRecorded</c> to it.</summary>
    public ImmutableList<long> Replies { get; init; } = [];
}

/// <summary>Every opinion given on or reported of this bat. None ever leaves the list: once given, its existence shows.</summary>
public sealed record Opinions
{
    public ImmutableSortedDictionary<long, Opinion> ByEntry { get; init; } = ImmutableSortedDictionary<long, Opinion>.Empty;

    /// <summary>Rule 5: each house's present opinion is its latest not withdrawn; houses stand side by side. A house whose every opinion was
    /// withdrawn is not here, and still in <see cref="ByEntry"/>. Latest by day given, then by entry number.</summary>
    public ImmutableSortedDictionary<Alias, long> PresentByHouse(Corrections corrections) => ByEntry
        .Where(o => Counts(o.Key, corrections))
        .GroupBy(o => o.Value.House)
        .ToImmutableSortedDictionary(house => house.Key, house => house.MaxBy(o => (o.Value.Day, o.Key)).Key);

    /// <summary>True while it is neither withdrawn nor void.</summary>
    public bool Counts(long n, Corrections corrections) =>
        ByEntry.TryGetValue(n, out var opinion) && !corrections.IsVoid(n) && !corrections.Stands(opinion.Withdrawn);

    /// <summary>True when the present opinions of two houses take opposite sides of the same pair of propositions.</summary>
    public bool HousesDisagree(Corrections corrections)
    {
        List<Opinion> present = [.. PresentByHouse(corrections).Values.Select(n => ByEntry[n])];
        // Within one opinion no pair stands twice, so two sides of one pair are two houses'.
        return present.Any(a => present.Any(a.Opposes));
    }

    /// <summary>The refusal when one of these opinions is not there, is void, or was withdrawn.</summary>
    public static Refusal? Refuse(Bat bat, IEnumerable<long> opinions)
    {
        var given = opinions.ToList();
        return Grounds.Refuse(bat, bat.Opinions.ByEntry, given, "opinion")
            ?? (given.All(n => bat.Opinions.Counts(n, bat.Corrections)) ? null
                : new("opinion-withdrawn", "The opinion was withdrawn.", "Name an opinion that stands."));
    }

    internal Opinions Add(long n, Opinion opinion) => this with { ByEntry = ByEntry.Add(n, opinion) };

    internal Opinions With(long n, Func<Opinion, Opinion> change) => this with { ByEntry = ByEntry.SetItem(n, change(ByEntry[n])) };
}
