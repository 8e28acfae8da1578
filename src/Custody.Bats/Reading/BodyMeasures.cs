using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Gathers what was measured of the whole bat, with what each measuring can be off by (common practice).</summary>
sealed class BodyMeasures
{
    // A ruler read to a sixteenth; a household or postal scale; a weight written on a bat is nominal.
    static readonly Quantity Sixteenth = Quantity.Parse("0.0625", "[in_i]");
    static readonly Quantity ScaleOff = Quantity.Parse("0.1", "[oz_av]");
    static readonly Quantity NominalOff = Quantity.Parse("0.5", "[oz_av]");
    static readonly DecimalText Half = DecimalText.Parse("0.5");

    const double DriestRoom = 5;
    const double DampestRoom = 14;
    const double MeterOff = 1;

    public BodyMeasures(Reading reading)
    {
        List<(Noted At, BaselineRecorded Fact)> baselines = [.. reading.Standing<BaselineRecorded>()];
        List<(long Entry, string Type, FindingRead Finding)> findings =
            [.. ExaminationRead.All(reading).SelectMany(e => e.Findings.Where(f => f.Presence == Presence.Seen).Select(f => (f.Entry, e.Entry + "." + f.Key, f)))];
        List<(Noted At, IdentityChecked Fact)> checks = [.. reading.Standing<IdentityChecked>()];
        Weights =
        [
            .. baselines.Select(b => Weight(b.At.N, b.Fact.TypeName, b.Fact.Weight, b.Fact.Moisture, ScaleOff))
                .Concat(checks.Where(c => c.Fact.Weight is not null).Select(c => Weight(c.At.N, c.Fact.TypeName, c.Fact.Weight!, null, ScaleOff)))
                .Concat(findings.Where(f => f.Finding is { Kind: FindingKind.Weight or FindingKind.WeightMark, Measure.Unit.Dimension: Dimension.Mass, Measure.Value.Sign: > 0 })
                    .Select(f => Weight(f.Entry, f.Type, f.Finding.Measure!, null, f.Finding.Kind == FindingKind.WeightMark ? NominalOff : ScaleOff)))
                .OrderBy(m => m.Entry),
        ];
        Lengths =
        [
            .. baselines.Select(b => new BodyMeasure(b.At.N, b.Fact.TypeName, b.Fact.Length, Sixteenth, null))
                .Concat(checks.Where(c => c.Fact.Length is not null).Select(c => new BodyMeasure(c.At.N, c.Fact.TypeName, c.Fact.Length!, Sixteenth, null)))
                .Concat(findings.Where(f => f.Finding is { Kind: FindingKind.Length, Measure.Unit.Dimension: Dimension.Length, Measure.Value.Sign: > 0 })
                    .Select(f => new BodyMeasure(f.Entry, f.Type, f.Finding.Measure!, Sixteenth, null)))
                .OrderBy(m => m.Entry),
        ];
        Limited = [.. Limits(baselines.LastOrDefault().Fact, [.. findings.Select(f => f.Finding)])];
        Expected = baselines.LastOrDefault() is { Fact: { } last } && Shape(last) is { } profile ? [.. ExpectedOf(profile, last)] : [];
    }

    public IReadOnlyList<BodyMeasure> Weights { get; }

    public IReadOnlyList<BodyMeasure> Lengths { get; }

    public IReadOnlyList<BatMeasurement> Limited { get; }

    public IReadOnlyList<SpeciesWeight> Expected { get; }

    // Half a step of the last place written is what rounding can be off by, on top of the scale.
    static BodyMeasure Weight(long entry, string type, Quantity weight, Quantity? moisture, Quantity off)
    {
        var rounding = Quantity.Of(DecimalText.Of(1, weight.Value.Scale) * Half, weight.Unit);
        return new BodyMeasure(entry, type, weight, Quantity.Of(rounding.To(Unit.Gram, 3, Rounding.HalfAwayFromZero).Value + off.To(Unit.Gram, 3, Rounding.HalfAwayFromZero).Value, Unit.Gram), moisture);
    }

    /// <summary>A weight as read off a scale, with what it can be off by.</summary>
    public static RecordedWeight Read(Quantity weight, Quantity? moisture) => Weighed(Weight(0, "", weight, moisture, ScaleOff));

    public static RecordedWeight Weighed(BodyMeasure measure)
    {
        var moisture = measure.Moisture is { } read ? read.InBase().ToDouble() * 100 : (double?)null;
        return new RecordedWeight(
            measure.Value, measure.Off, moisture is { } low ? Math.Max(0, low - MeterOff) : DriestRoom, moisture is { } high ? Math.Min(30, high + MeterOff) : DampestRoom);
    }

    static IEnumerable<BatMeasurement> Limits(BaselineRecorded? baseline, IReadOnlyList<FindingRead> findings)
    {
        if (baseline is not null)
        {
            yield return new BatMeasurement(BatMeasure.Length, baseline.Length, Sixteenth);
            var thickest = baseline.Girths.Max(g => Spot.InchesOf(g.Girth));
            yield return new BatMeasurement(BatMeasure.Diameter, Quantity.Of(DecimalText.Computed(thickest / Math.PI, 3), Unit.Inch), Quantity.Parse("0.02", "[in_i]"));
        }
        var treated = findings.Where(f => f is { Kind: FindingKind.Tape or FindingKind.PineTar or FindingKind.Scoring, Place: not null })
            .Select(f => f.Place!.To ?? f.Place.From).ToList();
        if (treated.Count > 0)
            yield return new BatMeasurement(BatMeasure.TreatedHandle, treated.MaxBy(q => q.InBase())!, Quantity.Parse("0.25", "[in_i]"));
        foreach (var cup in findings.Where(f => f is { Kind: FindingKind.Cup, Measure.Unit.Dimension: Dimension.Length }))
            yield return new BatMeasurement(BatMeasure.CupDepth, cup.Measure!, Sixteenth);
    }

    /// <summary>The profile of a baseline: its girths in order, carried straight on to both ends. Null when there are fewer than three.</summary>
    internal static Profile? Shape(BaselineRecorded baseline)
    {
        var girths = baseline.Girths.DistinctBy(g => g.Position.InBase().Text, StringComparer.Ordinal).OrderBy(g => g.Position.InBase()).Select(g => new Girth(g.Position, g.Girth)).ToList();
        if (girths.Count < 3) return null;
        if (girths[0].Position.Value.Sign > 0) girths.Insert(0, new Girth(Quantity.Parse("0", "mm"), girths[0].Round));
        if (girths[^1].Position.CompareWith(baseline.Length) < 0) girths.Add(new Girth(baseline.Length, girths[^1].Round));
        return Profile.TryCreate(girths, out var profile, out _) ? profile : null;
    }

    static IEnumerable<SpeciesWeight> ExpectedOf(Profile profile, BaselineRecorded baseline)
    {
        var weighed = Weighed(Weight(0, "", baseline.Weight, baseline.Moisture, ScaleOff));
        var ounces = baseline.Weight.To(Unit.Ounce, 1, Rounding.HalfAwayFromZero).Value;
        foreach (var species in Species.Known)
        {
            if (WoodWeight.TryExpect(profile, species, weighed.LeastMoisture, weighed.MostMoisture, out var range, out _))
                yield return new SpeciesWeight(species.Name, range.Value, ounces >= range.Value.Least && ounces <= range.Value.Most, species.Standing);
        }
    }
}
