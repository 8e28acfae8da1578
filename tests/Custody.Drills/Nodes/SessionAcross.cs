using System.Net;
using System.Text.RegularExpressions;

namespace Custody.Drills;

/// <summary>A browser whose every request reaches another node, as behind a balancer that knows nothing of sessions.</summary>
static partial class SessionAcross
{
    /// <exception cref="DrillFault">A form made on one node was not taken by another, or a session begun on one was not known on another.</exception>
    public static async Task Check(IReadOnlyList<House> nodes, CancellationToken ct)
    {
        var link = new Uri(await nodes[0].Say(["account", "invite", "visitor", "--role", "Keeper", "--host", "http://127.0.0.1"], ct));
        // Cookies go by host and not by port: the nodes are one site to this browser.
        using HttpClientHandler browser = new() { CookieContainer = new(), AllowAutoRedirect = false };
        using HttpClient http = new(browser);
        var page = await http.GetStringAsync(new Uri(nodes[0].Url, link.PathAndQuery), ct);
        var joined = await Post(http, new(nodes[1].Url, "/invited"), page, new() { ["token"] = link.Query["?token=".Length..], ["Password"] = "four words of a drill", ["Again"] = "four words of a drill" }, ct);
        if (joined != HttpStatusCode.Redirect) throw new DrillFault($"A form made on one node was not taken by another ({joined}).");
        foreach (var node in nodes)
        {
            using var mine = await http.GetAsync(new Uri(node.Url, "/account"), ct);
            if (mine.StatusCode != HttpStatusCode.OK) throw new DrillFault($"A session begun on one node is not known on another ({mine.StatusCode}).");
            page = await mine.Content.ReadAsStringAsync(ct);
        }
        var left = await Post(http, new(nodes[0].Url, "/sign-out"), page, [], ct);
        if (left != HttpStatusCode.Redirect) throw new DrillFault($"Signing out on one node with another's page was refused ({left}).");
        using var gone = await http.GetAsync(new Uri(nodes[1].Url, "/account"), ct);
        if (gone.StatusCode == HttpStatusCode.OK) throw new DrillFault("A session ended on one node goes on on another.");
    }

    static async Task<HttpStatusCode> Post(HttpClient http, Uri to, string page, Dictionary<string, string> fields, CancellationToken ct)
    {
        fields["__RequestVerificationToken"] = Proof().Match(page).Groups[1].Value;
        using FormUrlEncodedContent form = new(fields);
        using var answer = await http.PostAsync(to, form, ct);
        return answer.StatusCode;
    }

    [GeneratedRegex("name=\"__RequestVerificationToken\" type=\"hidden\" value=\"([^\"]+)\"")]
    private static partial Regex Proof();
}
