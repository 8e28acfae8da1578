using System.Net;
using System.Text.RegularExpressions;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Web;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Accounts;

/// <summary>Invitations, sessions, tokens, and what strangers try at the door, over HTTP as a browser would.</summary>
public sealed partial class AccountTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    const string Password = InHouse.Password;
    RunningHouse house = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => house = await RunningHouse.Start(postgres.ConnectionString, Ct);

    public async ValueTask DisposeAsync() => await house.DisposeAsync();

    [Fact]
    public async Task The_tables_hold_every_column_that_the_program_reads()
    {
        await using var scope = house.Get<IServiceScopeFactory>().CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AccountsDb>();
        foreach (var table in db.Model.GetEntityTypes().Where(t => t.GetTableName() is not null && !t.IsOwned()))
            foreach (var column in table.GetProperties().Select(p => p.GetColumnName()))
                Assert.Equal(1L, await house.Scalar($"select count(*) from information_schema.columns where table_schema = '{house.Place.Schema}_accounts' and table_name = '{table.GetTableName()}' and column_name = '{column}'"));
    }

    [Fact]
    public async Task The_first_link_makes_a_keeper_once_and_an_earlier_one_is_void()
    {
        var first = await Desk(d => d.FirstKeeper(Ct));
        var second = await Desk(d => d.FirstKeeper(Ct));
        using Browser browser = new(house.Url);
        Assert.Equal(HttpStatusCode.Gone, (await browser.Get("/invited?token=" + first)).Status);
        var made = await browser.Post("/invited?token=" + second, ("token", second!), ("Password", Password), ("Again", Password), ("Roles", "Registrar"), ("RoleNames", "Examiner"));
        Assert.Equal(HttpStatusCode.Redirect, made.Status);
        Assert.Equal(HttpStatusCode.OK, (await browser.Get("/accounts")).Status);
        // What was posted besides changes nothing: the invitation says the roles.
        Assert.Equal([nameof(AccountRole.Keeper)], (await Desk(d => d.All(Ct)))[0].RoleNames);
        using Browser late = new(house.Url);
        Assert.Equal(HttpStatusCode.Gone, (await late.Get("/invited?token=" + second)).Status);
        Assert.Null(await Desk(d => d.FirstKeeper(Ct)));
    }

    [Fact]
    public async Task A_short_password_is_refused_beside_its_field_and_the_invitation_stays()
    {
        var token = await Invited("short", AccountRole.Auditor);
        using Browser browser = new(house.Url);
        await browser.Get("/invited?token=" + token);
        var refused = await browser.Post("/invited?token=" + token, ("token", token), ("Password", "Sh0rt!"), ("Again", "Sh0rt!"));
        Assert.Contains("id=\"f-Password-error\"", refused.Text, StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.Redirect, (await browser.Post("/invited?token=" + token, ("token", token), ("Password", Password), ("Again", Password))).Status);
    }

    [Fact]
    public async Task A_session_that_was_ended_is_over_with_the_next_request()
    {
        var account = await Made("ended", AccountRole.Auditor);
        using var browser = await SignedIn("ended");
        Assert.Equal(HttpStatusCode.OK, (await browser.Get("/account")).Status);
        await Desk(async d => { await d.EndSessions(account.Id, null, Ct); return 0; });
        var after = await browser.Get("/account");
        Assert.Equal(HttpStatusCode.Redirect, after.Status);
        Assert.Contains("/sign-in?back=%2Faccount", after.Location, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_closed_account_is_out_at_once_and_its_tokens_are_void_but_the_last_keeper_stays()
    {
        var keeper = await Made("keeper of all", AccountRole.Keeper);
        Assert.Equal("last-keeper", (await Desk(d => d.Close(keeper.Id, Ct)))!.Code);
        var account = await Made("closing", AccountRole.Auditor);
        var (token, _) = await Desk(d => d.MakeToken(account, "a script", [AccountRole.Auditor], TimeSpan.FromDays(1), Ct));
        using var browser = await SignedIn("closing");
        Assert.Equal(HttpStatusCode.OK, await WithToken(token!, "/api/open-work"));
        Assert.Null(await Desk(d => d.Close(account.Id, Ct)));
        Assert.Equal(HttpStatusCode.Redirect, (await browser.Get("/account")).Status);
        Assert.Equal(HttpStatusCode.Unauthorized, await WithToken(token!, "/api/open-work"));
        Assert.Contains("do not fit together", (await browser.Post("/sign-in", ("Name", "closing"), ("Password", Password))).Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_token_reaches_as_far_as_its_roles_and_no_further_than_its_accounts()
    {
        var house1 = await house.Party("Northgate Rooms", PartyKind.House);
        var account = await Made("program", [AccountRole.Registrar, AccountRole.Examiner], house1);
        Assert.Equal("role-not-yours", (await Desk(d => d.MakeToken(account, "x", [AccountRole.Keeper], TimeSpan.FromDays(1), Ct))).Refused!.Code);
        Assert.Equal("token-time", (await Desk(d => d.MakeToken(account, "x", [AccountRole.Examiner], TimeSpan.FromDays(900), Ct))).Refused!.Code);
        var (token, _) = await Desk(d => d.MakeToken(account, "x", [AccountRole.Examiner], TimeSpan.FromDays(1), Ct));
        Assert.Equal(HttpStatusCode.OK, await WithToken(token!, "/api/open-work"));
        Assert.Equal(HttpStatusCode.Forbidden, await WithToken(token!, "/api/bats/0000000/apply-seal", "{}"));
        // Nothing of a token is in the database as it was given out.
        Assert.Equal(0L, await house.Scalar($"select count(*) from {house.Place.Schema}_accounts.api_token t where t::text like '%{token}%'"));
    }

    [Fact]
    public async Task Nobody_acts_for_a_party_that_is_not_theirs()
    {
        var (theirs, other) = (await house.Party("Northgate Rooms", PartyKind.House), await house.Party("Ada Quill"));
        var bat = await house.Bat(other);
        var account = await Made("registrar", [AccountRole.Registrar], theirs);
        var (token, _) = await Desk(d => d.MakeToken(account, "x", [AccountRole.Registrar], TimeSpan.FromDays(1), Ct));
        var (status, text) = await Send(token!, $"/api/bats/{bat.Id}/release-bat", $$"""{"by":"{{other}}","to":"{{theirs}}","purpose":"sale","attestation":"account"}""");
        Assert.Equal(HttpStatusCode.UnprocessableEntity, status);
        Assert.Contains("not-your-party", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_owner_is_answered_for_somebody_elses_bat_as_if_it_were_not_there()
    {
        var (ada, ben) = (await house.Party("Ada Quill"), await house.Party("Ben Orchard"));
        var (hers, his, kept) = (await house.Bat(ada), await house.Bat(ben), await house.Bat(ben, keeper: ada));
        var account = await Made("ada", [AccountRole.Owner], ada);
        var (token, _) = await Desk(d => d.MakeToken(account, "x", [AccountRole.Owner], TimeSpan.FromDays(1), Ct));
        foreach (var (bat, seen) in new[] { (hers, true), (kept, true), (his, false) })
            foreach (var what in new[] { "", "/title", "/entries", "/opinions", "/withheld" })
                Assert.Equal(seen ? HttpStatusCode.OK : HttpStatusCode.NotFound, await WithToken(token!, $"/api/bats/{bat.Id}{what}"));
        Assert.Equal(HttpStatusCode.Forbidden, await WithToken(token!, "/api/search?q=ben"));
    }

    [Fact]
    public async Task Ten_wrong_passwords_lock_the_account_and_an_unknown_name_reads_the_same()
    {
        await Made("locked", AccountRole.Auditor);
        using Browser browser = new(house.Url);
        var unknown = await browser.Post("/sign-in", ("Name", "nobody of that name"), ("Password", "wrong wrong wrong"));
        string wrong = "";
        for (var i = 0; i < 10; i++) wrong = (await browser.Post("/sign-in", ("Name", "locked"), ("Password", "wrong wrong wrong"))).Text;
        Assert.Equal(Alert(unknown.Text), Alert(wrong));
        Assert.Equal(HttpStatusCode.OK, (await browser.Post("/sign-in", ("Name", "locked"), ("Password", Password))).Status);
    }

    [Theory]
    [InlineData("https://elsewhere.example/")]
    [InlineData("//elsewhere.example/")]
    [InlineData("/\\elsewhere.example")]
    [InlineData("javascript:alert(1)")]
    public async Task Nobody_is_led_elsewhere_after_signing_in(string back)
    {
        await Made("led" + back.Length, AccountRole.Auditor);
        using Browser browser = new(house.Url);
        var answer = await browser.Post("/sign-in", ("Name", "led" + back.Length), ("Password", Password), ("back", back));
        Assert.Equal("/", answer.Location);
    }

    [Fact]
    public async Task What_another_site_makes_a_browser_send_is_refused()
    {
        var party = await house.Party("Northgate Rooms", PartyKind.House);
        await Made("crossed", [AccountRole.Registrar], party);
        using var browser = await SignedIn("crossed");
        Assert.Equal(HttpStatusCode.BadRequest, (await browser.PostAsIs("/account?handler=End", "session=")).Status);
        var act = await browser.PostAsIs("/api/bats", "{}", "application/json");
        Assert.Equal(HttpStatusCode.BadRequest, act.Status);
        Assert.Contains("not-from-our-page", act.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Signing_in_begins_a_new_session_and_the_cookie_is_out_of_scripts_reach()
    {
        await Made("fixed", AccountRole.Auditor);
        using Browser browser = new(house.Url);
        browser.Give("custody-session", "chosen-by-somebody-else");
        var answer = await browser.Post("/sign-in", ("Name", "fixed"), ("Password", Password));
        var cookie = Assert.Single(answer.Cookies, c => c.StartsWith("custody-session=", StringComparison.Ordinal) && !c.StartsWith("custody-session=;", StringComparison.Ordinal));
        Assert.DoesNotContain("chosen-by-somebody-else", cookie, StringComparison.Ordinal);
        Assert.Contains("httponly", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("samesite=lax", cookie, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task Every_page_forbids_what_comes_from_elsewhere_and_what_stands_inline()
    {
        using Browser browser = new(house.Url);
        var page = await browser.Get("/");
        Assert.Contains("default-src 'self'", page.Policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", page.Policy, StringComparison.Ordinal);
        Assert.DoesNotMatch(InlineScript(), page.Text);
        Assert.DoesNotContain(" style=", page.Text, StringComparison.Ordinal);
    }

    Task<T> Desk<T>(Func<AccountDesk, Task<T>> what) => house.Accounts(what);

    Task<string> Invited(string name, AccountRole role) => house.Invited(name, role);

    Task<Account> Made(string name, AccountRole role) => house.MadeAccount(name, role);

    Task<Account> Made(string name, AccountRole[] roles, PartyId? party) => house.MadeAccount(name, party, roles);

    Task<Browser> SignedIn(string name) => house.SignedIn(name);

    async Task<HttpStatusCode> WithToken(string token, string path, string? body = null) => (await Send(token, path, body)).Status;

    async Task<(HttpStatusCode Status, string Text)> Send(string token, string path, string? body)
    {
        using HttpClient http = new() { BaseAddress = new(house.Url) };
        using HttpRequestMessage request = new(body is null ? HttpMethod.Get : HttpMethod.Post, path);
        request.Headers.Authorization = new("Bearer", token);
        if (body is not null) request.Content = new StringContent(body, System.Text.Encoding.UTF8, "application/json");
        using var answer = await http.SendAsync(request, Ct);
        return (answer.StatusCode, await answer.Content.ReadAsStringAsync(Ct));
    }

    static string Alert(string html) => AlertPart().Match(html).Value is { Length: > 0 } found ? found : throw new InvalidOperationException("no refusal");

    [GeneratedRegex("<div class=\"refusals\".*?</div>", RegexOptions.Singleline)]
    private static partial Regex AlertPart();

    [GeneratedRegex("<script(?![^>]*src=)", RegexOptions.IgnoreCase)]
    private static partial Regex InlineScript();
}
