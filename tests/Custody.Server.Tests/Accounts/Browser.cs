using System.Net;
using System.Text;
using System.Text.RegularExpressions;

namespace Custody.Server.Tests.Accounts;

/// <summary>What came back.</summary>
sealed record Shown(HttpStatusCode Status, string Text, string? Location, IReadOnlyList<string> Cookies, string Policy, string StrictTransport);

/// <summary>Keeps cookies and sends forms with the page's own proof, as a browser does; follows no redirect.</summary>
/// <param name="headers">Sent with every request: what a proxy adds, or a program.</param>
sealed partial class Browser(string url, params (string Name, string Value)[] headers) : IDisposable
{
    readonly Dictionary<string, string> cookies = new(StringComparer.Ordinal);
    readonly HttpClient http = new(new HttpClientHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = new(url) };

    public void Give(string cookie, string value) => cookies[cookie] = value;

    /// <summary>The value of a cookie that the server set here.</summary>
    public string Cookie(string name) => cookies[name];

    public Task<Shown> Get(string path) => Send(new(HttpMethod.Get, path));

    /// <summary>Loads the page, then sends its form.</summary>
    public async Task<Shown> Post(string path, params (string Name, string Value)[] fields) => await Post(path, path, fields);

    /// <summary>Loads one page and sends a form that stands in it to another address.</summary>
    public async Task<Shown> Post(string page, string path, (string Name, string Value)[] fields)
    {
        var proof = Proof().Match((await Get(page)).Text).Groups[1].Value;
        return await Send(new(HttpMethod.Post, path)
        {
            Content = new FormUrlEncodedContent([.. fields.Select(f => KeyValuePair.Create(f.Name, f.Value)), KeyValuePair.Create("__RequestVerificationToken", proof)]),
        });
    }

    /// <summary>As a form on another site would make the browser send it.</summary>
    public Task<Shown> PostAsIs(string path, string body, string type = "application/x-www-form-urlencoded") =>
        Send(new(HttpMethod.Post, path) { Content = new StringContent(body, Encoding.UTF8, type) });

    async Task<Shown> Send(HttpRequestMessage request)
    {
        using (request)
        {
            request.Headers.Accept.ParseAdd("text/html");
            foreach (var (name, value) in headers) request.Headers.Add(name, value);
            if (cookies.Count > 0) request.Headers.Add("Cookie", string.Join("; ", cookies.Select(c => $"{c.Key}={c.Value}")));
            using var answer = await http.SendAsync(request);
            string[] set = [.. Of(answer, "Set-Cookie")];
            foreach (var said in set) Keep(said);
            return new(answer.StatusCode, await answer.Content.ReadAsStringAsync(), answer.Headers.Location?.OriginalString, set,
                string.Join(' ', Of(answer, "Content-Security-Policy")), string.Join(' ', Of(answer, "Strict-Transport-Security")));
        }
    }

    void Keep(string said)
    {
        var (pair, at) = (said.Split(';')[0], said.IndexOf('=', StringComparison.Ordinal));
        if (said.Contains("01 Jan 1970", StringComparison.Ordinal)) cookies.Remove(pair[..at]);
        else cookies[pair[..at]] = pair[(at + 1)..];
    }

    static IEnumerable<string> Of(HttpResponseMessage answer, string header) => answer.Headers.TryGetValues(header, out var values) ? values : [];

    public void Dispose() => http.Dispose();

    [GeneratedRegex("name=\"__RequestVerificationToken\" type=\"hidden\" value=\"([^\"]+)\"")]
    private static partial Regex Proof();
}
