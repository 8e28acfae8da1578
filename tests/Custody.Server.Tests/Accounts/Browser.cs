using System.Net;
using System.Text;
using System.Text.RegularExpressions;

namespace Custody.Server.Tests.Accounts;

/// <summary>What came back.</summary>
sealed record Shown(HttpStatusCode Status, string Text, string? Location, IReadOnlyList<string> Cookies, string Policy);

/// <summary>Keeps cookies and sends forms with the page's own proof, as a browser does; follows no redirect.</summary>
sealed partial class Browser : IDisposable
{
    readonly CookieContainer cookies = new();
    readonly HttpClient http;

    public Browser(string url) => http = new(new HttpClientHandler { AllowAutoRedirect = false, CookieContainer = cookies }) { BaseAddress = new(url) };

    public void Give(string cookie, string value) => cookies.Add(http.BaseAddress!, new Cookie(cookie, value));

    public Task<Shown> Get(string path) => Send(new(HttpMethod.Get, path));

    /// <summary>Loads the page, then sends its form.</summary>
    public async Task<Shown> Post(string path, params (string Name, string Value)[] fields)
    {
        var page = await Get(path);
        var proof = Proof().Match(page.Text).Groups[1].Value;
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
            using var answer = await http.SendAsync(request);
            return new(answer.StatusCode, await answer.Content.ReadAsStringAsync(), answer.Headers.Location?.OriginalString,
                [.. answer.Headers.TryGetValues("Set-Cookie", out var set) ? set : []], string.Join(' ', answer.Headers.TryGetValues("Content-Security-Policy", out var policy) ? policy : []));
        }
    }

    public void Dispose() => http.Dispose();

    [GeneratedRegex("name=\"__RequestVerificationToken\" type=\"hidden\" value=\"([^\"]+)\"")]
    private static partial Regex Proof();
}
