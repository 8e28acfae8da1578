using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How one characteristic of the habit file reads on this bat.</summary>
/// <param name="Characteristic">Number of the <c>CharacteristicDefined</c> in the habit file cited.</param>
/// <param name="Value">Which named value, from 1, when seen.</param>
/// <param name="Examination">Number of the <c>ExaminationOpened</c> whose finding shows it.</param>
/// <param name="Finding">Number of that finding.</param>
public sealed record TraitRead(long Characteristic, Observed Observed, int? Value, long Examination, int Finding) : IPart;

/// <summary>How often a mark of one characteristic, seen in play, is gone from a bat that survived: 0 up to but not 1, unit 1.</summary>
public sealed record LossFactor(long Characteristic, Quantity Factor) : IPart;

/// <summary>What the weight is computed from besides the two files cited. Choices are stated before the bat is seen, and kept.</summary>
/// <param name="Traits">Characteristics as this bat shows them, each once.</param>
/// <param name="OwnOccasions">Occasions of the habit file that are this bat's own: they are taken out when it is weighed.</param>
/// <param name="OwnInComparison">Occasions of the comparison file that are this bat's own.</param>
/// <param name="CustodyFrom">Since when its custody is documented (EDTF): what can be added counts against later preparation only where that is
/// before it was published. Null when it is not documented.</param>
/// <param name="Basis">Which observations count: pictures of play, or surviving bats.</param>
/// <param name="LikenessDefault">How alike one hitter is to himself where the comparison file cannot tell, unit 1; null for the method's own.</param>
/// <param name="LossFactors">Where known; they join pictures and surviving bats.</param>
/// <param name="Spent">Characteristics that dated the bat and do not score again.</param>
public sealed record WeightInputs(
    IReadOnlyList<TraitRead> Traits, IReadOnlyList<long> OwnOccasions, IReadOnlyList<long> OwnInComparison, Edtf? CustodyFrom, Pool Basis,
    Quantity? LikenessDefault, IReadOnlyList<LossFactor> LossFactors, IReadOnlyList<long> Spent) : IPart;

/// <summary>How seasons in an opinion came about.</summary>
public enum SeasonsMethod
{
    /// <summary>As the examiner states them.</summary>
    Stated,

    /// <summary>Computed from the dated facts of this bat, version 1 of the method.</summary>
    Seasons1,
}

/// <summary>One run of feasible seasons, both ends included; null where nothing bounds it.</summary>
public sealed record SeasonSpan(int? From, int? To) : IPart;

/// <summary>Feasible seasons, twice: for the bat alone, and if the player used it.</summary>
/// <param name="Dated">Numbers of the entries whose dated facts were used, when computed.</param>
public sealed record SeasonsFound(
    SeasonsMethod Method, IReadOnlyList<SeasonSpan> BatAlone, IReadOnlyList<SeasonSpan> UnderPlayer, IReadOnlyList<long> Dated) : IPart
{
    internal IEnumerable<Refusal> Refuse(Bat bat)
    {
        foreach (var refusal in OutOfOrder()) yield return refusal;
        if ((Method == SeasonsMethod.Seasons1) != (Dated.Count > 0) || Dated.Any(n => n < 1 || n > bat.N) || Dated.Distinct().Count() != Dated.Count)
            yield return new("seasons-from-nothing", "Computed seasons name no dated facts, or stated ones do.", "Name the entries that hold the dated facts, each once.");
    }

    /// <summary>The rule of the third shape: stated seasons may name the dated facts they were read from, and what is named has to stand.</summary>
    internal IEnumerable<Refusal> RefuseNamed(Bat bat)
    {
        foreach (var refusal in OutOfOrder()) yield return refusal;
        if ((Method == SeasonsMethod.Seasons1 && Dated.Count == 0) || Dated.Distinct().Count() != Dated.Count)
            yield return new("seasons-from-nothing", "Computed seasons name no dated facts, or one entry stands twice.", "Name the entries that hold the dated facts, each once.");
        // A picture that shows the same wood dates the bat too; it stands on the record as a comparison.
        var (compared, dated) = (Dated.Where(bat.PictureComparisons.ByEntry.ContainsKey).ToList(), Dated.Where(n => !bat.PictureComparisons.ByEntry.ContainsKey(n)));
        if (Datings.Refuse(bat, dated) is { } unknown) yield return unknown;
        if (PictureComparisons.RefuseUnfinished(bat, compared) is { } unfinished) yield return unfinished;
    }

    IEnumerable<Refusal> OutOfOrder()
    {
        if (!AreProper(BatAlone) || !AreProper(UnderPlayer))
            yield return new("seasons-out-of-order", "The seasons are not years in order.", "Give runs of seasons, first to last.");
    }

    // Open ends only at the ends of the whole; runs in order and apart.
    static bool AreProper(IReadOnlyList<SeasonSpan> runs) =>
        runs.Select((r, i) => (r, i)).All(x => (x.r.From is not null || x.i == 0) && (x.r.To is not null || x.i == runs.Count - 1)
            && !(x.r.From > x.r.To) && x.r.From is not (< 1000 or > 9999) && x.r.To is not (< 1000 or > 9999))
        && runs.Zip(runs.Skip(1)).All(pair => pair.First.To < pair.Second.From);
}

/// <summary>A grade with what the rubric gave, so that a departure shows both.</summary>
/// <param name="Level">The level of proposition that the word of support speaks of.</param>
/// <param name="ByRubric">What the rubric gives from the findings and the pairs of that level.</param>
/// <param name="Given">What the examiner gives; differs only where a departure says so.</param>
public sealed record GradeGiven(PropositionLevel Level, Grade ByRubric, Grade Given) : IPart;
