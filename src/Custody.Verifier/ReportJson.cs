using System.Text;
using System.Text.Json;
using Custody.Ledger;

namespace Custody.Verifier;

/// <summary>The report as JSON. Members are added, never renamed; <c>reason</c> is for people.</summary>
static class ReportJson
{
    internal static void Write(TextWriter output, string file, Report report) => Write(output, json =>
    {
        json.WriteString("dossier", file);
        json.WriteString("verdict", report.HasFailed ? "failed" : "nothingFailed");
        if (report.AsOf is { } asOf) json.WriteString("asOf", asOf);
        if (report.DaysOld is { } days) json.WriteNumber("daysOld", days);
        json.WriteBoolean("keyVouchedFor", report.IsVouched);
        json.WriteNumber("shown", report.Shown);
        if (report.Online is { } online) WriteOnline(json, online);
        json.WriteStartArray("checks");
        foreach (var check in report.Checks) WriteCheck(json, check);
        json.WriteEndArray();
        json.WriteStartArray("histories");
        foreach (var history in report.Histories) WriteHistory(json, history);
        json.WriteEndArray();
        Texts(json, "cautions", Cautions.Said);
        Texts(json, "beforePaying", Cautions.BeforePaying);
    });

    static void WriteOnline(Utf8JsonWriter json, LogFinding online)
    {
        json.WriteStartObject("online");
        json.WriteBoolean("answered", online.Answered);
        if (online.Size is { } size) json.WriteNumber("size", size);
        if (online.Later is { } later) json.WriteNumber("later", later);
        json.WriteBoolean("convicts", online.Proof is not null);
        json.WriteEndObject();
    }

    internal static void WriteNoDossier(TextWriter output, string file, string why) => Write(output, json =>
    {
        json.WriteString("dossier", file);
        json.WriteString("verdict", "notADossier");
        json.WriteString("reason", why);
    });

    static void WriteCheck(Utf8JsonWriter json, Check check)
    {
        json.WriteStartObject();
        json.WriteNumber("number", check.Number);
        json.WriteString("name", check.Name);
        json.WriteString("result", JsonNamingPolicy.CamelCase.ConvertName(check.Result.ToString()));
        json.WriteString("reason", check.Reason);
        json.WriteEndObject();
    }

    static void WriteHistory(Utf8JsonWriter json, ToldHistory history)
    {
        json.WriteStartObject();
        json.WriteString("ledger", history.Origin);
        json.WriteString("stream", history.Stream);
        json.WriteNumber("entries", history.Entries.Count);
        json.WriteStartObject("keptBackOrNeverSaid");
        foreach (var (kind, count) in history.Unshown) json.WriteNumber(kind, count);
        json.WriteEndObject();
        json.WriteEndObject();
    }

    static void Texts(Utf8JsonWriter json, string name, IReadOnlyList<string> texts)
    {
        json.WriteStartArray(name);
        foreach (var text in texts) json.WriteStringValue(text);
        json.WriteEndArray();
    }

    static void Write(TextWriter output, Action<Utf8JsonWriter> members)
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer, new JsonWriterOptions { Indented = true }))
        {
            json.WriteStartObject();
            members(json);
            json.WriteEndObject();
        }
        output.WriteLine(Encoding.UTF8.GetString(buffer.ToArray()));
    }
}
