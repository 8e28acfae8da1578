using Custody.Evidence;

namespace Custody.Bats;

/// <summary>A measurement of the bat beside what its baseline and the published playing rules lead to expect. Baselines bear no stage, so that nothing held back
/// from an open examination is read: what the rules allowed is asked of every season.</summary>
static class MeasurePlausible
{
    static readonly Quantity Sixteenth = Quantity.Parse("0.0625", "[in_i]");

    public static IReadOnlyList<string> Of(Reading reading, FindingKind kind, Quantity measure) => [.. Said(reading, kind, measure)];

    static IEnumerable<string> Said(Reading reading, FindingKind kind, Quantity measure)
    {
        if (Expected(kind) is { } dimension && measure.Unit.Dimension != dimension)
        {
            yield return $"This is measured as {(dimension == Dimension.Mass ? "a weight" : "a length")}, and the unit says something else.";
            yield break;
        }
        var baseline = reading.Standing<BaselineRecorded>().LastOrDefault().Fact;
        if (kind == FindingKind.Length && measure.Value.Sign > 0 && baseline is not null
            && WoodWeight.TryCompareLengths(baseline.Length, Sixteenth, measure, Sixteenth, out var lengths, out _))
            yield return lengths.BeyondMeasuring
                ? $"Differs from the baseline's {baseline.Length} by {lengths.DifferenceInches} in, beyond measuring: worn, cut down, cupped later, or another bat?"
                : $"Agrees with the baseline's {baseline.Length}, within measuring.";
        if (kind == FindingKind.Weight && measure.Value.Sign > 0 && baseline is not null) yield return Weighed(baseline, measure);
        if (Limited(kind) is { } limited && measure.Value.Sign >= 0)
            foreach (var flag in RuleBook.Standard.Check(Edtf.Parse("1840/.."), [new BatMeasurement(limited, measure, Sixteenth)]).Take(1))
                yield return $"Outside a limit of the playing rules that {(flag.Certainty == Certainty.Certain ? "held in every season" : "held in some seasons")} ({flag.Row.Source}). That is a question, never a verdict.";
        if (kind == FindingKind.Girth && measure.Value.Sign > 0)
            foreach (var flag in RuleBook.Standard.Check(Edtf.Parse("1840/.."), [new BatMeasurement(BatMeasure.Diameter, Across(measure), Quantity.Parse("0.02", "[in_i]"))]).Take(1))
                yield return $"So far round is {Across(measure)} across, outside a limit of the playing rules in some seasons ({flag.Row.Source}). That is a question, never a verdict.";
        if (measure.Value.Sign < 0) yield return "Less than nothing: read it again.";
    }

    // What was added or taken off is not known here: asked as if nothing was.
    static string Weighed(BaselineRecorded baseline, Quantity measure)
    {
        var (earlier, later) = (BodyMeasures.Read(baseline.Weight, baseline.Moisture), BodyMeasures.Read(measure, null));
        var none = Quantity.Parse("0", "[oz_av]");
        return !WoodWeight.TryCompare(earlier, later, none, none, out var answer, out _) ? $"Cannot be set beside the baseline's {baseline.Weight}."
            : answer.BeyondDryingAlone ? $"Beside the baseline's {baseline.Weight} the difference is beyond drying alone: what was added or taken off, misread, or exchanged?"
            : $"Moisture alone explains the difference from the baseline's {baseline.Weight}.";
    }

    static Quantity Across(Quantity girth) => Quantity.Of(DecimalText.Computed(Spot.InchesOf(girth) / Math.PI, 3), Unit.Inch);

    static Dimension? Expected(FindingKind kind) => kind switch
    {
        FindingKind.Weight or FindingKind.WeightMark => Dimension.Mass,
        FindingKind.Length or FindingKind.Girth or FindingKind.Cup => Dimension.Length,
        _ => null,
    };

    static BatMeasure? Limited(FindingKind kind) => kind switch
    {
        FindingKind.Length => BatMeasure.Length,
        FindingKind.Cup => BatMeasure.CupDepth,
        _ => null,
    };
}
