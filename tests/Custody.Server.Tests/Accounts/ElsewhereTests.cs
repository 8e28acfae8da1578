using System.Net;
using Custody.Server.Accounts;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Web;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Accounts;

/// <summary>Signing in elsewhere, the whole way: out to a real issuer on the loopback interface and back.</summary>
public sealed class ElsewhereTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    Elsewhere elsewhere = null!;
    RunningHouse house = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        elsewhere = await Elsewhere.Start();
        house = await RunningHouse.Start(postgres.ConnectionString, Ct, more: b => b.Services.AddAuthentication().AddElsewhereOf(elsewhere.Setting));
    }

    public async ValueTask DisposeAsync()
    {
        await house.DisposeAsync();
        await elsewhere.DisposeAsync();
    }

    [Fact]
    public async Task Whoever_has_an_account_under_that_address_gets_in_and_a_closed_one_does_not_come_back()
    {
        var account = await house.MadeAccount("ada@quill.example", AccountRole.Auditor);
        (elsewhere.Email, elsewhere.Subject) = ("Ada@Quill.example", "ada");
        using Browser browser = new(house.Url);
        Assert.Equal("/account", (await Through(browser, "/account")).Location);
        Assert.Equal(HttpStatusCode.OK, (await browser.Get("/account")).Status);
        Assert.Null(await house.Accounts(d => d.Close(account.Id, Ct)));
        using Browser again = new(house.Url);
        Assert.Equal(HttpStatusCode.OK, (await Through(again)).Status);
        Assert.Equal(HttpStatusCode.Redirect, (await again.Get("/account")).Status);
        Assert.Empty(await house.Accounts(d => d.SessionsOf(account.Id, Ct)));
    }

    [Fact]
    public async Task An_invitation_to_an_address_is_taken_up_by_signing_in_elsewhere_with_it()
    {
        var token = await house.Invited("ben@orchard.example", AccountRole.Auditor);
        (elsewhere.Email, elsewhere.Subject) = ("ben@orchard.example", "ben");
        using Browser browser = new(house.Url);
        Assert.Equal(HttpStatusCode.Redirect, (await Through(browser)).Status);
        Assert.Equal(HttpStatusCode.OK, (await browser.Get("/account")).Status);
        using Browser late = new(house.Url);
        Assert.Equal(HttpStatusCode.Gone, (await late.Get("/invited?token=" + token)).Status);
        using Browser again = new(house.Url);
        Assert.Equal(HttpStatusCode.Redirect, (await Through(again)).Status);
        Assert.Single(await house.Accounts(d => d.All(Ct)), a => a.UserName == "ben@orchard.example");
    }

    [Theory]
    [InlineData("stranger@elsewhere.example", true)]
    [InlineData("invited@quill.example", false)]
    [InlineData("keeper", true)]
    public async Task Whoever_was_not_invited_or_whose_address_nobody_verified_stays_outside(string email, bool verified)
    {
        await house.Invited("invited@quill.example", AccountRole.Auditor);
        await house.Invited("keeper", AccountRole.Keeper);
        (elsewhere.Email, elsewhere.Verified, elsewhere.Subject) = (email, verified, email);
        using Browser browser = new(house.Url);
        var answer = await Through(browser);
        Assert.Equal(HttpStatusCode.OK, answer.Status);
        Assert.Contains("nobody here was invited", answer.Text, StringComparison.Ordinal);
        Assert.Empty(await house.Accounts(d => d.All(Ct)));
    }

    [Fact]
    public async Task Nobody_is_led_elsewhere_afterwards_and_an_answer_that_nobody_asked_for_signs_nobody_in()
    {
        await house.MadeAccount("ada@quill.example", AccountRole.Auditor);
        elsewhere.Email = "ada@quill.example";
        using Browser browser = new(house.Url), crossed = new(house.Url);
        Assert.Equal("/", (await Through(browser, "https://elsewhere.example/")).Location);
        // Another's answer, brought to a browser that did not ask (OpenID Connect Core section 3.1.2.7: state is bound to the browser).
        var (back, _) = await Out(new(house.Url), "/");
        var answer = await crossed.Get(back);
        Assert.DoesNotContain(answer.Cookies, c => c.Contains(AccountServices.CookieName, StringComparison.Ordinal));
        Assert.NotEqual(HttpStatusCode.OK, (await crossed.Get("/account")).Status);
    }

    async Task<Shown> Through(Browser browser, string back = "/")
    {
        var (answer, _) = await Out(browser, back);
        var returned = await browser.Get(answer);
        return returned.Location is { } next ? await browser.Get(next) : returned;
    }

    /// <summary>As far as the issuer's answer, which is given back without going there.</summary>
    async Task<(string Answer, Browser Browser)> Out(Browser browser, string back)
    {
        var away = await browser.Get("/sign-in?handler=Elsewhere&back=" + Uri.EscapeDataString(back));
        Assert.StartsWith(elsewhere.Url + "/authorize", away.Location, StringComparison.Ordinal);
        using HttpClient http = new(new HttpClientHandler { AllowAutoRedirect = false });
        using var answer = await http.GetAsync(away.Location, Ct);
        return (answer.Headers.Location!.PathAndQuery, browser);
    }
}
