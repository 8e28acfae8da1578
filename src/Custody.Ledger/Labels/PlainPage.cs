using System.Globalization;
using System.Net;
using System.Security.Cryptography;
using System.Text;

namespace Custody.Ledger;

/// <summary>The frame of the public pages: plain HTML and one style, nothing from elsewhere, nothing that runs, nothing that remembers who looked.</summary>
public sealed class PlainPage
{
    // Looks like a page of a printed ledger: paper, one ink, rules. The reader's own serif; their choice of light or dark.
    const string Style = ":root{color-scheme:light dark;--paper:#f8f5ee;--ink:#23201b;--soft:#6a6355;--rule:#c9c1b0;--red:#8c2f1c;--green:#2c5a3f}"
        + "@media(prefers-color-scheme:dark){:root{--paper:#1b1a17;--ink:#e6e0d3;--soft:#a39b8a;--rule:#4a463d;--red:#e08a72;--green:#8fc3a2}}"
        + "*{box-sizing:border-box}body{margin:0;background:var(--paper);color:var(--ink);font:17px/1.5 Georgia,'Times New Roman',serif}"
        + "main{max-width:42rem;margin:0 auto;padding:1.2rem 1rem 4rem}header{border-bottom:3px double var(--ink);padding-bottom:.7rem}"
        + "h1{font-size:1.7rem;line-height:1.2;margin:.1rem 0}h2{font-size:1.05rem;font-variant-caps:small-caps;letter-spacing:.06em;border-bottom:1px solid var(--rule);margin:2.2rem 0 .6rem;padding-bottom:.2rem}"
        + "p{margin:.5rem 0}.soft,small,summary time{color:var(--soft)}.soft,small{font-size:.9rem}.stamp{display:inline-block;border:2px solid;padding:.05rem .6rem;margin:.5rem 0;font-weight:bold}"
        + ".good{color:var(--green)}.bad,.alert{color:var(--red)}.alert{border-left:4px solid;padding-left:.7rem;margin:.6rem 0}.alert>span{color:var(--ink)}"
        + "table{border-collapse:collapse;width:100%}th,td{text-align:left;vertical-align:top;padding:.35rem .6rem .35rem 0;border-bottom:1px solid var(--rule);overflow-wrap:break-word}th{font-weight:normal;color:var(--soft)}"
        + "@media(max-width:36rem){table,tbody,tr,th,td{display:block}th[scope=col]{display:none}tr{border-bottom:1px solid var(--rule);padding:.45rem 0}th,td{border:0;padding:0}td::before{content:attr(data-head)' ';color:var(--soft);font-size:.9rem}}"
        + "figure{margin:0}.views{display:grid;grid-template-columns:repeat(auto-fill,minmax(9rem,1fr));gap:.7rem;margin:.8rem 0}img{display:block;width:100%;height:auto;border:1px solid var(--rule)}figcaption{font-size:.9rem}"
        + "details{border-bottom:1px solid var(--rule)}summary{cursor:pointer;padding:.45rem 0}dl{margin:.2rem 0 .8rem;padding-left:1rem}dt{color:var(--soft);font-size:.9rem}dd{margin:0 0 .3rem;overflow-wrap:anywhere}.void summary{text-decoration:line-through}"
        + "label{display:block;margin:.5rem 0 .2rem}textarea,input{width:100%;font:15px/1.4 ui-monospace,monospace;color:inherit;background:transparent;border:1px solid var(--soft);padding:.5rem}"
        + "button{font:inherit;color:var(--paper);background:var(--ink);border:0;padding:.5rem 1.1rem;margin:.7rem 0;cursor:pointer}a{color:inherit}code{font:15px ui-monospace,monospace;overflow-wrap:anywhere}"
        + ":focus-visible{outline:3px solid var(--green);outline-offset:2px}li{margin:.3rem 0}";

    readonly StringBuilder html = new();

    /// <summary>What the pages are allowed: their own style by its hash, pictures and forms of this address.</summary>
    public static string ContentSecurityPolicy { get; } =
        $"default-src 'none'; style-src 'sha256-{Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(Style)))}'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

    public PlainPage(string title, string over) => html
        .Append("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n")
        .Append("<meta name=\"robots\" content=\"noindex\">\n<meta name=\"referrer\" content=\"no-referrer\">\n")
        .Append(CultureInfo.InvariantCulture, $"<title>{E(title)}</title>\n<style>{Style}</style>\n</head>\n<body>\n<main>\n<header>\n<p class=\"soft\">{E(over)}</p>\n<h1>{E(title)}</h1>\n</header>\n");

    public PlainPage Heading(string text) => Raw($"<h2>{E(text)}</h2>\n");

    public PlainPage P(string text, string? kind = null) => Raw(kind is null ? $"<p>{E(text)}</p>\n" : $"<p class=\"{kind}\">{E(text)}</p>\n");

    public PlainPage Stamp(string text, bool good) => Raw($"<p><span class=\"stamp {(good ? "good" : "bad")}\">{E(text)}</span></p>\n");

    /// <summary>Something that must not be overlooked.</summary>
    public PlainPage Alert(string text) => Raw($"<p class=\"alert\"><span>{E(text)}</span></p>\n");

    public PlainPage List(IEnumerable<string> items)
    {
        html.Append("<ul>\n");
        foreach (var item in items) html.Append(CultureInfo.InvariantCulture, $"<li>{E(item)}</li>\n");
        return Raw("</ul>\n");
    }

    /// <summary>A table; on a telephone each row stands by itself, its cells under one another with their headings before them.</summary>
    /// <param name="heads">The columns' headings; the first cell of each row is the row's.</param>
    public PlainPage Table(IReadOnlyList<string> heads, IEnumerable<IReadOnlyList<string>> rows)
    {
        html.Append("<table>\n<tr>").AppendJoin("", heads.Select(h => $"<th scope=\"col\">{E(h)}</th>")).Append("</tr>\n");
        foreach (var row in rows)
            html.Append("<tr>").Append(CultureInfo.InvariantCulture, $"<th scope=\"row\">{E(row[0])}</th>").AppendJoin("", row.Skip(1).Select((c, i) => $"<td data-head=\"{E(heads[i + 1])}\">{E(c)}</td>")).Append("</tr>\n");
        return Raw("</table>\n");
    }

    /// <summary>Markup as it is: only what this project wrote, every text in it through <see cref="E"/>.</summary>
    internal PlainPage Raw(string markup)
    {
        html.Append(markup);
        return this;
    }

    public string End() => html.Append("</main>\n</body>\n</html>\n").ToString();

    internal static string E(string text) => WebUtility.HtmlEncode(text);
}
