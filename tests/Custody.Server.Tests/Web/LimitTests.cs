using System.Net;
using Custody.Server.Accounts;
using Custody.Server.Tests.Accounts;
using Custody.Server.Tests.Database;
using Custody.Server.Web;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Web;

/// <summary>Who asks too much is held back, and what is secret reaches no log and no answer.</summary>
public sealed class LimitTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    static readonly string[] Told = ["/health", "/ready", "/api/openapi.json", "/log/checkpoints"];

    RunningHouse house = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() =>
        house = await RunningHouse.Start(postgres.ConnectionString, Ct, more: b => b.Services.AddSingleton(new RequestLimits(Open: 3, Tiles: 5, Accounts: 4)));

    public async ValueTask DisposeAsync() => await house.DisposeAsync();

    [Theory]
    [InlineData("/check", 3, "203.0.113.1")]
    [InlineData("/log/checkpoints", 3, "203.0.113.2")]
    [InlineData("/nothing/here", 3, "203.0.113.3")]
    [InlineData("/checkpoint", 5, "203.0.113.4")]
    [InlineData("/tile/0/000.p/1", 5, "203.0.113.5")]
    [InlineData("/api/bats/0", 4, "203.0.113.6")]
    [InlineData("/find", 4, "2001:db8::1")]
    public async Task So_many_requests_from_an_address_are_answered_and_the_next_one_is_told_when_to_come_again(string path, int most, string address)
    {
        for (var i = 0; i < most; i++) Assert.NotEqual(HttpStatusCode.TooManyRequests, (await Ask(path, address)).StatusCode);
        using var held = await Ask(path, address);
        Assert.Equal(HttpStatusCode.TooManyRequests, held.StatusCode);
        Assert.InRange(held.Headers.RetryAfter!.Delta!.Value.TotalSeconds, 1, 60);
        if (path.StartsWith("/api", StringComparison.Ordinal)) Assert.Equal("too-many", await RunningHouse.Code(held, HttpStatusCode.TooManyRequests));
        // Whoever sits elsewhere, and this machine itself, is not held back for it.
        Assert.NotEqual(HttpStatusCode.TooManyRequests, (await Ask(path, "198.51.100.77")).StatusCode);
        Assert.NotEqual(HttpStatusCode.TooManyRequests, (await Ask(path, null)).StatusCode);
    }

    [Fact]
    public async Task A_person_who_is_held_back_reads_why()
    {
        using Browser browser = new(house.Url, ("X-Forwarded-For", "203.0.113.9"));
        for (var i = 0; i < 3; i++) await browser.Get("/check");
        var page = await browser.Get("/check");
        Assert.Equal(HttpStatusCode.TooManyRequests, page.Status);
        Assert.Contains("Too many tries", page.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Passwords_tokens_invitations_cookies_and_keys_stand_in_no_log_and_no_answer()
    {
        var owner = await house.Party("Ada Quill");
        var bat = await house.Bat(owner);
        await house.Published(bat);
        var account = await house.MadeAccount("registrar", owner, AccountRole.Registrar);
        var invitation = await house.Invited("somebody", AccountRole.Auditor);
        var token = await house.Token(account, AccountRole.Registrar);
        using var browser = await house.SignedIn("registrar");
        await browser.SignIn("registrar", "a wrong one, told to nobody");
        await browser.Get($"/invited/{invitation}");
        using HttpRequestMessage asked = new(HttpMethod.Post, $"/api/bats/{bat.Id}/dossier") { Content = new StringContent("""{"reveal":["all"]}""", null, "application/json") };
        asked.Headers.Authorization = new("Bearer", token);
        using HttpClient program = new() { BaseAddress = new(house.Url) };
        using var dossier = await program.SendAsync(asked, Ct);
        Assert.Equal(HttpStatusCode.OK, dossier.StatusCode);
        var given = Convert.ToHexString(await dossier.Content.ReadAsByteArrayAsync(Ct));
        var answers = string.Concat(await Task.WhenAll(Told.Select(p => program.GetStringAsync(p, Ct))));
        List<(string What, byte[] Secret)> secrets =
        [
            ("password", Utf8(InHouse.Password)), ("wrong password", Utf8("a wrong one, told to nobody")), ("token", Utf8(token)), ("invitation", Utf8(invitation)),
            ("session", Utf8(browser.Cookie(AccountServices.CookieName))), ("database's password", Utf8(new Npgsql.NpgsqlConnectionStringBuilder(postgres.ConnectionString).Password!)),
            .. Directory.GetFiles(house.Place.Folder("keys"), "*", SearchOption.AllDirectories).Where(f => !f.EndsWith(".xml", StringComparison.Ordinal) && !f.EndsWith("next.digest", StringComparison.Ordinal))
                .Select(f => (Path.GetFileName(f), File.ReadAllBytes(f).AsSpan().Trim((byte)'\n').ToArray())),
        ];
        Assert.True(secrets.Count > 8 && house.Logged.Length > 1000);
        foreach (var (what, secret) in secrets)
        {
            foreach (var form in new[] { System.Text.Encoding.Latin1.GetString(secret), Convert.ToHexString(secret), Convert.ToHexStringLower(secret), Convert.ToBase64String(secret).TrimEnd('=') })
            {
                Assert.DoesNotContain(form, house.Logged, StringComparison.Ordinal);
                Assert.DoesNotContain(form, answers, StringComparison.Ordinal);
            }
            Assert.False(given.Contains(Convert.ToHexString(secret), StringComparison.Ordinal), $"The dossier holds a {what}.");
        }
    }

    static byte[] Utf8(string text) => System.Text.Encoding.UTF8.GetBytes(text);

    async Task<HttpResponseMessage> Ask(string path, string? from)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, path);
        if (from is not null) request.Headers.Add("X-Forwarded-For", from);
        return await house.Http.SendAsync(request, Ct);
    }
}
