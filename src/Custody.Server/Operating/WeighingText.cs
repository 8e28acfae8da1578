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
            yield return $"  {string.Join('+', c.Members)} ({c.Family}) value {string.Join('+', c.Value)}: his {c.Shown} of {c.Occasions}, others {c.Others} of {c.Players}, A {c.Likeness}: {Range(c.Weight)}";
        if (weighed.ValueNotRead.Count > 0) yield return $"  seen, but not said which value: {string.Join(", ", weighed.ValueNotRead)} (--read says it)";
        if (weighed.OwnLeftOut.Count > 0) yield return $"  the bat's own sources were left out: {string.Join(", ", weighed.OwnLeftOut)}";
        foreach (var caution in result.Cautions) yield return $"! {caution.Sentence}";
    }

    static IEnumerable<string> Of(PairWeight pair)
    {
        yield return $"\"{pair.Proposition}\" against \"{pair.Alternative}\"";
        yield return $"  {pair.Wording.Sentence} ({pair.Wording.ScaleId} version {Number(pair.Wording.ScaleVersion)})";
        yield return $"  log10 of the likelihood ratio {Range(pair.Weight)}; all multiplied, as a bound: {pair.FullIndependence}";
        foreach (var left in pair.NotCounted.GroupBy(u => u.Why)) yield return $"  not counted ({left.Key}): {string.Join(", ", left.Select(u => u.Characteristic))}";
        foreach (var varied in pair.Varied) yield return $"  {varied.Choice}: {Range(varied.Weight)}{(varied.ChangesWord ? ", another word" : "")}";
        foreach (var sole in pair.WithoutSource.Where(w => w.CarriesTheConclusion)) yield return $"  rests on source {Number(sole.Number)} alone";
        foreach (var sole in pair.WithoutCharacteristic.Where(w => w.CarriesTheConclusion)) yield return $"  rests on characteristic {Number(sole.Number)} alone";
        foreach (var next in pair.Next.Take(MostNext))
            yield return $"  next: {next.Kind} {next.Characteristic}: {next.Difference}{(next.TimesToChangeWord is { } n ? $", changes the word after {Number(n)}" : "")}";
        foreach (var prior in pair.Priors) yield return $"  a reader who gave {prior.Prior} before: {string.Join(" / ", prior.Probability)}";
    }

    static string Range(RatioRange range) => $"{range.Log10} [{range.Low}, {range.High}]";

    static string Number(long number) => number.ToString(CultureInfo.InvariantCulture);
}
