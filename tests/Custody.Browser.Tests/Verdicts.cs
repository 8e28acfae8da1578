using System.Globalization;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Custody.Ledger;

namespace Custody.Browser.Tests;

/// <summary>Holds what the page says against what the command says of the same file.</summary>
static partial class Verdicts
{
    /// <summary>Where they differ, one line each; none when the page says what the command says, or honestly that it does not reach a check.</summary>
    public static IEnumerable<string> Differences(JsonNode command, JsonNode page)
    {
        if (command["verdict"]!.GetValue<string>() == "notADossier")
        {
            if (page["notADossier"]?.GetValue<string>() is not { } why) yield return "the command takes it for no dossier, the page for one";
            else if (why != command["reason"]!.GetValue<string>()) yield return $"no dossier: {why}";
            yield break;
        }
        if (page["checks"] is not JsonArray checks)
        {
            yield return $"the page answers {page.ToJsonString()}";
            yield break;
        }
        var byCommand = command["checks"]!.AsArray();
        foreach (var (theirs, ours) in byCommand.Zip(checks))
            if (Difference(theirs!, ours!, byCommand) is { } difference) yield return difference;
    }

    static string? Difference(JsonNode command, JsonNode page, JsonArray byCommand)
    {
        var number = (int)command["number"]!;
        string? Differs(string what) => string.Create(
            CultureInfo.InvariantCulture, $"{number}, {what}: the command says {command["result"]} ({command["reason"]}), the page {page["result"]} ({page["reason"]})");
        if ((string)command["name"]! != (string)page["name"]!) return Differs("name");
        if (CheckList.All[number - 1].ByPage == CheckList.CommandOnly) return (string)page["result"]! == "notChecked" ? null : Differs("result");
        // What became of labels is read off the entries by the page, and by the command only from a history it could decide again.
        if (number == 12 && (string)command["result"]! == "notChecked" && (string)byCommand[9]!["result"]! != "passed") return null;
        if ((string)command["result"]! != (string)page["result"]!) return Differs("result");
        // The same words, but for why a date is none: the command's reader of dates has thirty reasons, the page's one.
        return Words(command) == Words(page) || ((string)command["reason"]!).Contains("edtf-", StringComparison.Ordinal) ? null : Differs("words");
    }

    // The command names its options where the page has fields.
    static string Words(JsonNode check) => Options().Replace((string)check["reason"]!, "");

    [GeneratedRegex(@" \(--[a-z-]+(, --[a-z-]+)*\)")]
    private static partial Regex Options();

    /// <summary>A history as the command tells it, in the page's own form.</summary>
    public static JsonArray Told(IReadOnlyList<ToldHistory> histories) => new([.. histories.Select(h => new JsonObject
    {
        ["origin"] = h.Origin,
        ["stream"] = h.Stream,
        ["head"] = h.Head,
        ["entries"] = new JsonArray([.. h.Entries.Select(Entry)]),
        ["unshown"] = new JsonArray([.. h.Unshown.Select(u => new JsonArray(u.Kind, u.Count))]),
    })]);

    static JsonObject Entry(ToldEntry entry) => new()
    {
        ["line"] = entry.Line,
        ["isReport"] = entry.IsReport,
        ["recorded"] = entry.Recorded?.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture),
        ["occurred"] = entry.Occurred?.Text,
        ["by"] = entry.By,
        ["said"] = new JsonArray([.. entry.Said.Select(s => new JsonObject { ["name"] = s.Name, ["value"] = s.Value, ["shown"] = s.Shown })]),
        ["unshown"] = new JsonArray([.. entry.Unshown.Select(u => (JsonNode)u)]),
        ["isVoid"] = entry.Void,
        ["correctedBy"] = new JsonArray([.. entry.CorrectedBy.Select(n => (JsonNode)n)]),
        ["title"] = entry.Title,
    };
}
