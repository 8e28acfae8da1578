using Custody.Bats;
using Custody.Evidence;

namespace Custody.Ledger;

/// <summary>One measurement to take of the bat in hand.</summary>
/// <param name="What">Such as length, or girth at 3 in.</param>
/// <param name="Recorded">As recorded, in the trade's unit, SI beside it.</param>
/// <param name="Within">What it may differ by, in words.</param>
public sealed record ToMeasure(string What, string Recorded, string Within);

/// <summary>One mark that an examiner saw, or looked for and did not find.</summary>
public sealed record ToLookFor(string What, string Where, string Note);

/// <summary>What is recorded of a bat that somebody with the bat in hand can compare: measurements, marks, fixed views.</summary>
/// <param name="Measured">When the baseline was recorded; null when there is none.</param>
public sealed record BatInHand(DateTimeOffset? Measured, IReadOnlyList<ToMeasure> Measures, IReadOnlyList<ToLookFor> Marks, IReadOnlyList<ViewPictured> Views)
{
    // Allowances of a kitchen scale and a tape in another's hands; common practice.
    static readonly Quantity ScaleOff = Quantity.Parse("0.2", "[oz_av]");
    static readonly Quantity NoChange = Quantity.Parse("0", "[oz_av]");
    const double DryRoom = 5, DampRoom = 14; // percent moisture that rooms give wood

    public static BatInHand Of(Reading reading)
    {
        var baseline = reading.Entries.LastOrDefault(e => !e.IsVoid && e.Fact is BaselineRecorded);
        var recorded = baseline?.Fact as BaselineRecorded;
        return new(baseline?.Recorded, recorded is null ? [] : [.. MeasuresOf(recorded)], MarksOf(reading), recorded?.Views ?? []);
    }

    static IEnumerable<ToMeasure> MeasuresOf(BaselineRecorded baseline)
    {
        yield return new("length", Both(baseline.Length), "1/16 in (1.5 mm): wood hardly moves along the grain. More than that asks for wear, cutting down, or another bat");
        yield return new("weight", Both(baseline.Weight), WeightRange(baseline));
        foreach (var girth in baseline.Girths)
            yield return new($"girth {Both(girth.Position)} from the knob's face", Both(girth.Girth), "1/8 in (3 mm), for tape, place and moisture");
        if (baseline.Moisture is { } moisture) yield return new("moisture then", One(moisture), "as it was when measured");
    }

    /// <summary>How far moisture alone can have moved the weight between rooms, by the method of <see cref="WoodWeight"/>.</summary>
    static string WeightRange(BaselineRecorded baseline)
    {
        var (least, most) = baseline.Moisture is { Unit.Code: "%" } m ? (m.Value.ToDouble(), m.Value.ToDouble()) : (DryRoom, DampRoom);
        return WoodWeight.TryCompare(new(baseline.Weight, ScaleOff, least, most), new(baseline.Weight, ScaleOff, DryRoom, DampRoom), NoChange, NoChange, out var compared, out _)
            ? $"{compared.Expected.Least} to {compared.Expected.Most} oz, for scales and for moisture between dry and damp rooms. Outside it is a question, not a contradiction"
            : "not reckoned: the moisture recorded is beyond what rooms give";
    }

    /// <summary>Findings of the latest examination that has some, as revised.</summary>
    static List<ToLookFor> MarksOf(Reading reading)
    {
        var bat = reading.State;
        if (bat.Examinations.ByEntry.LastOrDefault(e => bat.Corrections.Stands(e.Value.Locked) && !bat.Corrections.IsVoid(e.Key)) is not { Value: { } examined }) return [];
        SortedDictionary<int, Finding> found = [];
        foreach (var (key, finding) in ((FindingsLocked)reading.Entries[(int)examined.Locked!.Value - 1].Fact).Findings) found[Numbered(key)] = finding;
        foreach (var revised in examined.Revised.Where(n => !bat.Corrections.IsVoid(n)).Select(n => (FindingsRevised)reading.Entries[(int)n - 1].Fact))
        {
            foreach (var (key, f) in revised.Findings)
            {
                if (f.Change == RevisionKind.TakenBack) found.Remove(Numbered(key));
                else found[Numbered(key)] = new(f.Kind, f.Presence, f.Confidence, f.SeenBy, f.Place, f.Measure, f.Pictures, f.Text);
            }
        }
        return [.. found.Values.Where(f => f.Presence != Presence.NotAssessable).Select(Mark)];
    }

    static int Numbered(string key) => int.Parse(key.AsSpan(1), System.Globalization.CultureInfo.InvariantCulture);

    static ToLookFor Mark(Finding finding) => new(
        Words.Of(finding.Kind.ToString()) + (finding.Measure is { } measure ? ": " + Both(measure) : ""),
        finding.Place is { } place ? Where(place) : "",
        (finding.Presence == Presence.Absent ? "looked for and not there" : "there") + $"; {Words.Of(finding.Confidence.ToString())} confidence");

    static string Where(SurfacePlace place)
    {
        var along = place.To is { } to ? $"{Plain(place.From)} to {Both(to)}" : Both(place.From);
        var round = place.FromAngle is { } from ? $", {from.Value}{(place.ToAngle is { } until ? $" to {until.Value}" : "")} degrees clockwise from the {(place.Datum == SurfaceDatum.Brand ? "brand" : "mark pictured")}, seen from the knob" : ", all round";
        return $"{along} from the knob's face{round}";
    }

    /// <summary>A quantity as recorded, with the other system's beside it.</summary>
    static string Both(Quantity quantity) => quantity.Unit.Dimension switch
    {
        Dimension.Length when quantity.Unit == Unit.Inch => $"{One(quantity)} ({One(quantity.To(Unit.Millimetre, 0, Rounding.HalfAwayFromZero))})",
        Dimension.Length => $"{One(quantity)} ({One(quantity.To(Unit.Inch, 2, Rounding.HalfAwayFromZero))})",
        Dimension.Mass when quantity.Unit == Unit.Ounce => $"{One(quantity)} ({One(quantity.To(Unit.Gram, 0, Rounding.HalfAwayFromZero))})",
        Dimension.Mass => $"{One(quantity)} ({One(quantity.To(Unit.Ounce, 1, Rounding.HalfAwayFromZero))})",
        _ => One(quantity),
    };

    static string Plain(Quantity quantity) => quantity.Value.Text;

    static string One(Quantity quantity) => quantity.Unit.Code switch
    {
        "[in_i]" => $"{quantity.Value} in",
        "[oz_av]" => $"{quantity.Value} oz",
        "[lb_av]" => $"{quantity.Value} lb",
        "deg" => $"{quantity.Value} degrees",
        "1" => quantity.Value.Text,
        var code => $"{quantity.Value} {code}",
    };
}
