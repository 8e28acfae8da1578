using System.Globalization;
using System.Net;
using System.Text;

namespace Custody.Ledger;

/// <summary>The page <c>history.html</c>: to read, without script, style from outside or link to anywhere. Made from the entries and the
/// disclosures alone, so that a checker can make it again and see that nobody rewrote it.</summary>
static class HistoryPage
{
    /// <summary>Named in the page. A changed page is a new version: a checker compares only the version it makes.</summary>
    internal const string Version = "custody-page/1";

    const string Style = "body{font:16px/1.5 Georgia,serif;max-width:46em;margin:2em auto;padding:0 1em;color:#222;background:#fff}"
        + "h1{font-size:1.5em}h2{font-size:1.2em;margin-top:2em}article{border-top:1px solid #999;padding:.5em 0}h3{font-size:1em;margin:.3em 0}"
        + "dl{display:grid;grid-template-columns:12em 1fr;gap:.1em 1em;margin:.3em 0}dt{color:#555}dd{margin:0;overflow-wrap:anywhere}"
        + ".times,.kept{font-size:.9em;color:#555;margin:.2em 0}.void h3{text-decoration:line-through}.caution{border-left:4px solid #a60;padding-left:1em}";

    internal static byte[] Write(string title, IReadOnlyList<ToldHistory> histories)
    {
        var html = new StringBuilder();
        html.Append("<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n")
            .Append("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n")
            .Append(CultureInfo.InvariantCulture, $"<meta name=\"generator\" content=\"{Version}\">\n<title>{E(title)}</title>\n<style>{Style}</style>\n")
            .Append(CultureInfo.InvariantCulture, $"<h1>{E(title)}</h1>\n<div class=\"caution\">\n");
        foreach (var caution in Cautions.Said) html.Append(CultureInfo.InvariantCulture, $"<p>{E(caution)}</p>\n");
        html.Append("<p>This page proves nothing by itself: check the dossier with a checker you got elsewhere.</p>\n</div>\n");
        foreach (var history in histories) Append(html, history);
        html.Append("<h2>Before you pay</h2>\n<ul>\n");
        foreach (var question in Cautions.BeforePaying) html.Append(CultureInfo.InvariantCulture, $"<li>{E(question)}</li>\n");
        return Encoding.UTF8.GetBytes(html.Append("</ul>\n</html>\n").ToString());
    }

    static void Append(StringBuilder html, ToldHistory history)
    {
        html.Append(CultureInfo.InvariantCulture, $"<h2>As {E(history.Origin)} recorded it</h2>\n");
        html.Append(CultureInfo.InvariantCulture, $"<p>Stream {E(history.Stream)}; the last entry is {E(history.Head)}. In the order in which things are said to have happened.</p>\n");
        var unshown = history.Unshown.ToList();
        if (unshown.Count > 0)
        {
            html.Append("<p>Kept back, or never said (the two look alike on purpose): ")
                .Append(string.Join(", ", unshown.Select(k => E(string.Create(CultureInfo.InvariantCulture, $"{k.Kind} {k.Count}"))))).Append(".</p>\n");
        }
        foreach (var entry in history.Entries) Append(html, entry);
    }

    static void Append(StringBuilder html, ToldEntry entry)
    {
        html.Append(entry.Void ? "<article class=\"void\">\n" : "<article>\n");
        html.Append(CultureInfo.InvariantCulture, $"<h3>{E(entry.Title)}{(entry.IsReport ? " (a report of what happened elsewhere or before)" : "")}</h3>\n");
        if (Corrections(entry) is { Length: > 0 } corrections) html.Append(CultureInfo.InvariantCulture, $"<p class=\"kept\">{E(corrections)}</p>\n");
        html.Append(CultureInfo.InvariantCulture, $"<p class=\"times\">{E(Times(entry))}</p>\n");
        if (entry.Said.Count > 0)
        {
            html.Append("<dl>\n");
            foreach (var (name, value, shown) in entry.Said)
                html.Append(CultureInfo.InvariantCulture, $"<dt>{E(name)}{(shown ? " (shown)" : "")}</dt><dd>{E(value)}</dd>\n");
            html.Append("</dl>\n");
        }
        if (entry.Unshown.Count > 0) html.Append(CultureInfo.InvariantCulture, $"<p class=\"kept\">Kept back or never said: {E(string.Join(", ", entry.Unshown))}.</p>\n");
        html.Append("</article>\n");
    }

    static string Corrections(ToldEntry entry)
    {
        var by = string.Join(", ", entry.CorrectedBy.Select(n => n.ToString(CultureInfo.InvariantCulture)));
        return entry.Void ? $"This did not happen here, says entry {by}." : by.Length > 0 ? $"Told as corrected by entry {by}." : "";
    }

    static string Times(ToldEntry entry)
    {
        var occurred = entry.Occurred is { } o ? $"Said to have happened {o}" : "When it happened was not said";
        var recorded = entry.Recorded is { } r ? $"recorded {EntryText.Write(r)} by {entry.By}" : "recorded at a time not known";
        return string.Create(CultureInfo.InvariantCulture, $"{occurred}; {recorded}; entry {entry.Line}.");
    }

    static string E(string text) => WebUtility.HtmlEncode(text);
}
