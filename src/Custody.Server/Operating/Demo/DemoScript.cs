using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Custody.Server.Operating.Demo;

/// <summary>A command on one stream of a ledger.</summary>
/// <param name="Stream">Kind and local name, such as <c>bat/amber</c>; <c>ledger/own</c> is the ledger's own.</param>
/// <param name="Act">Class name of the command.</param>
sealed record DemoStep(string Stream, string Act, JsonObject Command);

/// <summary>One act of the story: usually one step, several where two bats are concerned at once.</summary>
/// <param name="Key">Name of the line within its ledger; later lines point to it, and it makes the submission repeatable.</param>
/// <param name="At">What the ledger's clock shows.</param>
/// <param name="Refused">Code of the refusal that this act must meet; null when it must be recorded.</param>
/// <param name="Where">File and line, for people.</param>
sealed record DemoLine(string Key, DateTimeOffset At, string Ledger, IReadOnlyList<DemoStep> Steps, string? Refused, string Where)
{
    /// <summary>The submission's idempotency key.</summary>
    public string Submission => $"demo/{Ledger}/{Key}";
}

/// <summary>A dossier that the story hands out with something shown.</summary>
/// <param name="Bat">Local name, such as <c>bat/amber</c>.</param>
/// <param name="Reveal">Names of fields to show, or <c>all</c>.</param>
/// <param name="For">Whom it is for.</param>
/// <param name="Earlier">The bat of another ledger that its history goes on from: <c>ledger:bat/name</c>.</param>
sealed record DemoDossier(string Ledger, string Bat, IReadOnlyList<string> Reveal, string? For, string? Earlier);

/// <summary>The whole story, read from a folder of JSON Lines files: one act a line, in the order of time whatever file it stands in.</summary>
/// <param name="Looks">What each bat looks like, for the studio.</param>
/// <param name="Headings">What each file is about, in its own first line, by ledger and stream of its first act.</param>
sealed record DemoScript(
    IReadOnlyList<DemoLine> Lines, IReadOnlyList<DemoDossier> Dossiers, IReadOnlyDictionary<string, JsonObject> Looks,
    IReadOnlyDictionary<(string Ledger, string Stream), string> Headings)
{
    static readonly string[] Members = ["key", "at", "ledger", "stream", "act", "command", "steps", "refused"];
    static readonly JsonDocumentOptions Strict = new() { AllowDuplicateProperties = false };

    /// <exception cref="DemoFault">A line cannot be read, or two lines have one key.</exception>
    public static DemoScript Read(string folder)
    {
        List<DemoLine> lines = [];
        List<DemoDossier> dossiers = [];
        Dictionary<string, JsonObject> looks = new(StringComparer.Ordinal);
        Dictionary<(string, string), string> headings = [];
        foreach (var path in Directory.EnumerateFiles(folder, "*.jsonl").Order(StringComparer.Ordinal))
        {
            var number = 0;
            string? heading = null;
            foreach (var text in File.ReadLines(path))
            {
                var where = string.Create(CultureInfo.InvariantCulture, $"{Path.GetFileName(path)} line {++number}");
                var json = Parse(text, where);
                if (json["story"] is not null) heading = Text(json, "story", where);
                else if (json["look"] is not null) looks[Text(json, "look", where)] = Without(json, "look");
                else if (json["dossier"] is not null) dossiers.Add(Dossier(json, where));
                else
                {
                    lines.Add(Line(json, where));
                    if (heading is not null) headings.TryAdd((lines[^1].Ledger, lines[^1].Steps[0].Stream), heading);
                    heading = null;
                }
            }
        }
        if (lines.Count == 0) throw new DemoFault($"There are no events in {folder}.");
        if (lines.GroupBy(l => l.Submission).FirstOrDefault(g => g.Count() > 1) is { } twice)
            throw new DemoFault($"Two lines have the key {twice.First().Key}: {string.Join(" and ", twice.Select(l => l.Where))}.");
        // Stable: lines of one instant keep the order of files and lines.
        return new DemoScript([.. lines.OrderBy(l => l.At)], dossiers, looks, headings);
    }

    static JsonObject Parse(string text, string where)
    {
        try
        {
            return JsonNode.Parse(text, documentOptions: Strict) as JsonObject ?? throw new DemoFault($"{where} is not a JSON object.");
        }
        catch (JsonException unreadable)
        {
            throw new DemoFault($"{where} is not JSON: {unreadable.Message}");
        }
    }

    static DemoLine Line(JsonObject json, string where)
    {
        if (json.FirstOrDefault(m => !Members.Contains(m.Key)).Key is { } stranger) throw new DemoFault($"{where} has an unknown member '{stranger}'.");
        var steps = json["steps"] is JsonArray several ? several.Select(s => Step(s!.AsObject(), where)).ToList() : [Step(json, where)];
        if (!DateTimeOffset.TryParseExact(Text(json, "at", where), "yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var at))
            throw new DemoFault($"{where}: 'at' is not a time such as 2003-02-04T10:12:00Z.");
        return new DemoLine(Text(json, "key", where), at, Text(json, "ledger", where), steps, (string?)json["refused"], where);
    }

    static JsonObject Without(JsonObject json, string member)
    {
        json.Remove(member);
        return json;
    }

    static DemoDossier Dossier(JsonObject json, string where) => new(
        Text(json, "ledger", where), Text(json, "dossier", where), Text(json, "reveal", where).Split(',', StringSplitOptions.TrimEntries),
        (string?)json["for"], (string?)json["earlier"]);

    static DemoStep Step(JsonObject json, string where) =>
        new(Text(json, "stream", where), Text(json, "act", where), json["command"] as JsonObject ?? throw new DemoFault($"{where} has no command."));

    static string Text(JsonObject json, string member, string where) =>
        json[member] is JsonValue value && value.TryGetValue<string>(out var text) ? text : throw new DemoFault($"{where} has no text '{member}'.");
}
