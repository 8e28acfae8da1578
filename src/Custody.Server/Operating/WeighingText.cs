using System.Globalization;
using Custody.Bats;
using Custody.Evidence.Weight;

namespace Custody.Server.Operating;

/// <summary>A weighing in plain lines for whoever reads it in a terminal.</summary>
static class WeighingText
{
    const int MostNext = 5;

    public static IEnumerable<string> Of(BatWeighed weighed)
    {
        var result = weighed.Result;
        yield return $"Examination {Number(weighed.Examination)} against {weighed.HabitFile.Stream} and {weighed.ComparisonFile.Stream} ({result.Method} version {Number(result.MethodVersion)})";
        foreach (var pair in result.Pairs)
            foreach (var line in Of(pair)) yield return line;
        yield return "Characteristics:";
        foreach (var c in result.Characteristics)
            yield return $"  {string.Join('+', c.Members)} ({Custody.Ledger.Words.Of(c.Family)}) value {string.Join('+', c.Value)}: his {c.Shown} of {c.Occasions}, others {c.Others} of {c.Players}, A {c.Likeness}: {Range(c.Weight)}";
        if (weighed.ValueNotRead.Count > 0) yield return $"  seen, but not said which value: {string.Join(", ", weighed.ValueNotRead)} (--read says it)";
        if (weighed.OwnLeftOut.Count > 0) yield return $"  the bat's own sources were left out: {string.Join(", ", weighed.OwnLeftOut)}";
        foreach (var caution in result.Cautions) yield return $"! {caution.Sentence}";
    }

    public static IEnumerable<string> Of(BatZones read)
    {
        yield return $"Usual zones of {read.Version.Stream}, read up to entry {Number(read.Version.N)} (method {read.Method})";
        if (read.Refused is { } refused) yield return $"  {refused.Sentence} ({refused.Code})";
        if (read.Zones.Count == 0) yield return "  The file holds no usual zone that counts here.";
        foreach (var zone in read.Zones)
        {
            yield return $"  zone {Number(zone.Zone.N)}: {zone.Title ?? BenchText.Word(zone.Kind)}{((zone.ValueName ?? zone.Value?.ToString(CultureInfo.InvariantCulture)) is { } value ? $", {value}" : "")}, {Place(zone.Place)}; from occasions {string.Join(", ", zone.Occasions)}";
            var overlaps = read.Overlaps.Where(o => o.Zone == zone.Zone.N).ToList();
            if (overlaps.Count == 0) yield return "    no placed finding of its kind";
            foreach (var overlap in overlaps)
                yield return $"    {overlap.Key} of examination {Number(overlap.Examination)}: {(overlap.Shared.Touch ? $"{overlap.Shared.Inches} in along, {(overlap.Shared.Degrees is { } round ? $"{round} deg round" : "angles not compared")}, {overlap.Shared.PercentOfFirst} % of the finding in the zone" : "apart")}";
        }
        if (read.LeftOut.Count > 0) yield return $"  left out, as the bat's own: zones {string.Join(", ", read.LeftOut)}";
        foreach (var caution in read.Cautions) yield return $"! {caution}";
    }

    static string Place(SurfacePlace place) =>
        $"{place.From.Value} to {place.To!.Value} {place.To.Unit.Code.Trim('[', ']').Replace("_i", "", StringComparison.Ordinal)}{(place.Shape == SurfaceShape.Band ? " all the way round" : $", {place.FromAngle!.Value} to {place.ToAngle!.Value} deg")}";

    static IEnumerable<string> Of(PairWeight pair)
    {
        yield return $"\"{pair.Proposition}\" against \"{pair.Alternative}\"";
        yield return $"  {pair.Wording.Sentence} ({pair.Wording.ScaleId} version {Number(pair.Wording.ScaleVersion)})";
        yield return $"  log10 of the likelihood ratio {Range(pair.Weight)}; all multiplied, as a bound: {pair.FullIndependence}";
        foreach (var left in pair.NotCounted.GroupBy(u => u.Why)) yield return $"  not counted ({BenchText.Word(left.Key)}): {string.Join(", ", left.Select(u => u.Characteristic))}";
        foreach (var varied in pair.Varied) yield return $"  {varied.Choice}: {Range(varied.Weight)}{(varied.ChangesWord ? ", another word" : "")}";
        foreach (var sole in pair.WithoutSource.Where(w => w.CarriesTheConclusion)) yield return $"  rests on source {Number(sole.Number)} alone";
        foreach (var sole in pair.WithoutCharacteristic.Where(w => w.CarriesTheConclusion)) yield return $"  rests on characteristic {Number(sole.Number)} alone";
        foreach (var next in pair.Next.Take(MostNext))
            yield return $"  next: {BenchText.Word(next.Kind)}{(next.Characteristic is { } of ? $" of characteristic {Number(of)}" : "")}: {next.Difference}{(next.TimesToChangeWord is { } n ? $", changes the word after {Number(n)}" : "")}";
        foreach (var prior in pair.Priors) yield return $"  a reader who gave {prior.Prior} before: {string.Join(" / ", prior.Probability)}";
    }

    static string Range(RatioRange range) => $"{range.Log10} [{range.Low}, {range.High}]";

    static string Number(long number) => number.ToString(CultureInfo.InvariantCulture);
}
