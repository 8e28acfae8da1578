using Custody.Evidence;

namespace Custody.Bats;

/// <summary>A measurement of the whole bat and where it stands.</summary>
public sealed record BodyMeasure(long Entry, string Type, Quantity Value, Quantity Off, Quantity? Moisture);

/// <summary>Two weighings of the bat.</summary>
/// <param name="Answer">Null when it cannot be computed.</param>
/// <param name="Question">What to ask; null when moisture alone explains the difference.</param>
public sealed record WeightsCompared(BodyMeasure Earlier, BodyMeasure Later, WeightComparison? Answer, string? Question, IReadOnlyList<long> TreatedBetween);

/// <summary>Two measured lengths of the bat.</summary>
public sealed record LengthsCompared(BodyMeasure Earlier, BodyMeasure Later, LengthComparison? Answer, string? Question);

/// <summary>What a bat of this shape would weigh, in ounces, if it were of this species; for one baseline's girths.</summary>
public sealed record SpeciesWeight(string Species, WeightRange Ounces, bool IsWithin, Standing Standing);

/// <summary>Measurements that must make sense.</summary>
/// <param name="Played">The seasons the limits were asked for: those that dated facts about the bat leave open.</param>
/// <param name="Flags">Measurements outside a limit that held, or can have held; never a verdict.</param>
/// <param name="Expected">By species, from the latest baseline with a profile.</param>
public sealed record BatBody(
    string Method, IReadOnlyList<Edtf> Played, IReadOnlyList<BatMeasurement> Measurements, IReadOnlyList<RuleFlag> Flags, IReadOnlyList<WeightsCompared> Weights,
    IReadOnlyList<LengthsCompared> Lengths, IReadOnlyList<SpeciesWeight> Expected, IReadOnlyList<string> Cautions)
{
    internal static BatBody Read(Reading reading)
    {
        var body = new BodyMeasures(reading);
        List<Edtf> played = [.. (BatSeasons.Read(reading).Report?.BatAlone.Hard ?? []).Select(Between)];
        return new BatBody(
            WoodWeight.Method, played, body.Limited, Flagged(played, body.Limited),
            [.. body.Weights.Zip(body.Weights.Skip(1), (a, b) => Compare(reading, a, b))], [.. body.Lengths.Zip(body.Lengths.Skip(1), Compare)], body.Expected,
            [
                "A flag asks a question and is never a verdict: bats break rules, rules were enforced loosely, dates and measurements err.",
                "\"Beyond drying alone\" is a question, not a contradiction. Where moisture was not measured, 5 to 14 percent is allowed for (rooms; common practice).",
                "Weight alone never disproves which bat it is; a length that differs beyond making and measuring does need an answer.",
            ]);
    }

    // The game as we know it does not reach back further; without any bound the whole of it is asked for.
    static Edtf Between(FeasibleRun run) => Edtf.Parse(run is { First: null, Last: null } ? "1840/.." : $"{Year(run.First)}/{Year(run.Last)}");

    /// <summary>Certain only when it is so in every run of seasons left open.</summary>
    static List<RuleFlag> Flagged(List<Edtf> played, IReadOnlyList<BatMeasurement> measured)
    {
        var byRun = played.Select(p => RuleBook.Standard.Check(p, measured)).ToList();
        bool InEvery(RuleFlag flag) => byRun.TrueForAll(run => run.Any(f => f.Measurement == flag.Measurement && f.Certainty == Certainty.Certain));
        return [.. byRun.SelectMany(run => run).DistinctBy(f => (f.Measurement, f.Row)).Select(f => f with { Certainty = InEvery(f) ? Certainty.Certain : Certainty.Possible })];
    }

    static string Year(long? year) => year is { } y and >= 0 and <= 9999 ? y.ToString("0000", System.Globalization.CultureInfo.InvariantCulture) : "..";

    static WeightsCompared Compare(Reading reading, BodyMeasure a, BodyMeasure b)
    {
        var none = Quantity.Parse("0", "[oz_av]");
        var compared = WoodWeight.TryCompare(BodyMeasures.Weighed(a), BodyMeasures.Weighed(b), none, none, out var answer, out _);
        long[] treated = [.. reading.State.Treatments.ByEntry.Keys.Where(n => n > a.Entry && n < b.Entry && !reading.State.Corrections.IsVoid(n))];
        return new WeightsCompared(a, b, compared ? answer : null, answer is { BeyondDryingAlone: true }
            ? "Beyond drying alone: what was added or taken off, misread, or exchanged?" : null, treated);
    }

    static LengthsCompared Compare(BodyMeasure a, BodyMeasure b)
    {
        var compared = WoodWeight.TryCompareLengths(a.Value, a.Off, b.Value, b.Off, out var answer, out _);
        return new LengthsCompared(a, b, compared ? answer : null, answer is { BeyondMeasuring: true }
            ? "Beyond measuring: worn, cut down, cupped later, or another bat?" : null);
    }
}
