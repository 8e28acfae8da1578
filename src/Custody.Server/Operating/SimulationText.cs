using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Evidence.Weight.Simulation;

namespace Custody.Server.Operating;

/// <summary>A simulation's figures as plain lines, and as JSON with the headline figures as numbers at the top.</summary>
static class SimulationText
{
    public static JsonObject Flat(SimulationResult result, ulong seed) => new()
    {
        ["bats"] = result.Bats,
        ["seed"] = seed,
        ["method"] = result.Method,
        ["methodVersion"] = result.MethodVersion,
        ["coverage90"] = Number(result.AsAssumed.Coverage90),
        ["cllr"] = Number(result.AsAssumed.Cllr),
        ["cllrMin"] = Number(result.AsAssumed.CllrMin),
        ["asAssumed"] = Whole(result.AsAssumed),
        ["dependenceIgnored"] = Whole(result.DependenceIgnored),
        ["posedCountedAsPlay"] = Whole(result.PosedCountedAsPlay),
        ["wrongSources"] = Whole(result.WrongSources),
        ["examiners"] = JsonSerializer.SerializeToNode(result.Examiners, JsonText.Options),
    };

    public static IEnumerable<string> Of(SimulationResult result)
    {
        yield return $"{result.Bats.ToString(CultureInfo.InvariantCulture)} invented bats, {result.Method} version {result.MethodVersion.ToString(CultureInfo.InvariantCulture)}";
        foreach (var line in Lines("On its own assumptions", result.AsAssumed)) yield return line;
        foreach (var line in Lines("Dependence within families ignored", result.DependenceIgnored)) yield return line;
        foreach (var line in Lines("Posed pictures counted as play", result.PosedCountedAsPlay)) yield return line;
        foreach (var line in Lines("One source in five shows somebody else's bat", result.WrongSources)) yield return line;
        for (var i = 0; i < result.Examiners.Count; i++)
            yield return $"Examiner {(i + 1).ToString(CultureInfo.InvariantCulture)} agrees with himself on {result.Examiners[i].Agreement} of findings (kappa {result.Examiners[i].Kappa ?? "none"}).";
    }

    static IEnumerable<string> Lines(string title, SimulationFigures figures)
    {
        yield return title;
        if (figures.Intervals > 0)
            yield return $"  90 % intervals that hold the truth: {figures.Coverage90} over all files and values ({figures.Intervals.ToString(CultureInfo.InvariantCulture)}); over whole bats {figures.Coverage90Bats}";
        yield return $"  against another professional: Cllr {figures.Cllr}, at best {figures.CllrMin}; moderate support or more for him on others' bats {figures.MisleadingForHim}";
        yield return $"  against later preparation: Cllr {figures.PreparedCllr}, at best {figures.PreparedCllrMin}; moderate support or more on prepared bats {figures.PreparedMisleading}";
    }

    static JsonNode? Whole(SimulationFigures figures) => JsonSerializer.SerializeToNode(figures, JsonText.Options);

    // A figure of three places, as a number for whoever compares it with a bar.
    static JsonNode Number(string text) => JsonNode.Parse(text)!;
}
