using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>From least to most, in the unit the text beside it says.</summary>
public readonly record struct WeightRange(DecimalText Least, DecimalText Most);

/// <summary>A weight as it stands in a record.</summary>
/// <param name="Weight">As recorded.</param>
/// <param name="Off">What rounding, a nominal value and the scale can be off by together, either way, in the same kind of unit.</param>
/// <param name="LeastMoisture">Least moisture the wood can have had then, percent of oven-dry weight.</param>
/// <param name="MostMoisture">Most moisture.</param>
public sealed record RecordedWeight(Quantity Weight, Quantity Off, double LeastMoisture, double MostMoisture);

/// <summary>Whether two weights of one bat can differ as they do.</summary>
/// <param name="Expected">What the later record could read, ounces to one place, if nothing but moisture and the stated change differ.</param>
/// <param name="BeyondDryingAlone">
/// The later record lies outside. A question (what was added, removed, misread or exchanged?), never a contradiction.
/// </param>
public sealed record WeightComparison(WeightRange Expected, bool BeyondDryingAlone);

/// <summary>Whether two lengths of one bat can differ as they do. Along the grain wood hardly moves, so a mismatch does contradict.</summary>
/// <param name="DifferenceInches">Later less earlier, to three places.</param>
/// <param name="BeyondMeasuring">More than both tolerances together explain: ask for wear, cutting down, a later cup, another bat.</param>
public sealed record LengthComparison(DecimalText DifferenceInches, bool BeyondMeasuring);

/// <summary>Weights and lengths that must make sense for one piece of wood.</summary>
public static class WoodWeight
{
    /// <summary>Name and version of the method, to stand beside each result.</summary>
    public const string Method = "wood-weight/1";

    const double GramsPerOunce = 28.349523125;

    // Ounces by which a comparison may differ between machines without turning its answer.
    const double Coarse = 1e-9;

    /// <summary>
    /// The weight of a bat of this shape, in ounces to one place: from two spreads of the species below its mean at the least moisture to two
    /// above at the most. Refuses <c>wood-moisture</c>.
    /// </summary>
    public static bool TryExpect(Profile profile, Species species, double leastMoisture, double mostMoisture, [NotNullWhen(true)] out WeightRange? ounces,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = OfMoisture(leastMoisture, mostMoisture);
        DecimalText At(double moisture, double spreads) =>
            DecimalText.Computed(profile.Volume * species.Density(moisture) * (1 + spreads * Species.Spread) / GramsPerOunce, 1);
        ounces = refusal is null ? new WeightRange(At(leastMoisture, -2), At(mostMoisture, 2)) : null;
        return ounces is not null;
    }

    /// <summary>
    /// Compares two recorded weights. Refuses <c>wood-moisture</c>, <c>wood-weight</c> (not a weight above zero, or a negative allowance) and
    /// <c>wood-change</c> (least change above most).
    /// </summary>
    /// <param name="earlier">The earlier record.</param>
    /// <param name="later">The later record.</param>
    /// <param name="leastChange">Least weight added between them; negative for what was taken off.</param>
    /// <param name="mostChange">Most weight added.</param>
    /// <param name="comparison">The result.</param>
    /// <param name="refusal">Why there is none.</param>
    public static bool TryCompare(RecordedWeight earlier, RecordedWeight later, Quantity leastChange, Quantity mostChange,
        [NotNullWhen(true)] out WeightComparison? comparison, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        comparison = null;
        refusal = OfRecord(earlier) ?? OfRecord(later)
            ?? (IsMass(leastChange) && IsMass(mostChange) && leastChange.CompareWith(mostChange) <= 0 ? null
                : new("wood-change", "What was added or taken off is no range of weights.", "Give least and most, 0 for nothing."));
        if (refusal is not null)
            return false;
        // Dry wood stays; water is moisture percent of it: a weight at M1 becomes weight * (100 + M2) / (100 + M1).
        var least = (Ounces(earlier.Weight) - Ounces(earlier.Off)) * (100 + later.LeastMoisture) / (100 + earlier.MostMoisture) + Ounces(leastChange) - Ounces(later.Off);
        var most = (Ounces(earlier.Weight) + Ounces(earlier.Off)) * (100 + later.MostMoisture) / (100 + earlier.LeastMoisture) + Ounces(mostChange) + Ounces(later.Off);
        var read = Ounces(later.Weight);
        comparison = new WeightComparison(new WeightRange(DecimalText.Computed(least, 1), DecimalText.Computed(most, 1)), read < least - Coarse || read > most + Coarse);
        return true;
    }

    /// <summary>Compares two lengths with what each measuring can be off by. Refuses <c>wood-length</c> (not lengths, not above zero, negative tolerance).</summary>
    public static bool TryCompareLengths(Quantity earlier, Quantity earlierOff, Quantity later, Quantity laterOff,
        [NotNullWhen(true)] out LengthComparison? comparison, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        var good = new[] { earlier, earlierOff, later, laterOff }.All(q => q.Unit.Dimension == Dimension.Length)
            && earlier.Value.Sign > 0 && later.Value.Sign > 0 && earlierOff.Value.Sign >= 0 && laterOff.Value.Sign >= 0;
        comparison = null;
        refusal = good ? null : new("wood-length", "A length is not a length above zero, or a tolerance is negative.", "Measure in [in_i], mm or cm.");
        if (refusal is not null)
            return false;
        var apart = later.InBase() - earlier.InBase();
        var allowed = earlierOff.InBase() + laterOff.InBase();
        comparison = new LengthComparison(apart.DividedBy(Unit.Inch.InBase, 3, Rounding.HalfAwayFromZero), (apart.Sign < 0 ? -apart : apart) > allowed);
        return true;
    }

    static double Ounces(Quantity weight) => weight.InBase().ToDouble() / GramsPerOunce;

    static bool IsMass(Quantity quantity) => quantity.Unit.Dimension == Dimension.Mass;

    static EvidenceRefusal? OfRecord(RecordedWeight record) => OfMoisture(record.LeastMoisture, record.MostMoisture)
        ?? (IsMass(record.Weight) && IsMass(record.Off) && record.Weight.Value.Sign > 0 && record.Off.Value.Sign >= 0 ? null
            : new("wood-weight", "A weight is not a weight above zero, or its allowance is negative.", "Weigh in [oz_av] or g."));

    static EvidenceRefusal? OfMoisture(double least, double most) => least >= 0 && most >= least && most <= 30 ? null
        : new("wood-moisture", "Moisture is no range within 0 to 30 percent.", "Give least and most in percent of oven-dry weight; rooms give 5 to 14.");
}
