using System.Net;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Web;
using Microsoft.AspNetCore.Identity;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Accounts;

/// <summary>What somebody tries who has a little already: a narrow token, an account of their own, a session's cookie, a closed account, much patience.</summary>
public sealed class StrangersTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    readonly CountingHasher hasher = new();
    RunningHouse house = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() =>
        house = await RunningHouse.Start(postgres.ConnectionString, Ct, more: b => b.Services.AddSingleton<IPasswordHasher<Account>>(hasher));

    public async ValueTask DisposeAsync() => await house.DisposeAsync();

    [Fact]
    public async Task A_token_opens_no_page_for_people_and_so_makes_no_wider_token()
    {
        var party = await house.Party("Northgate Rooms", PartyKind.House);
        var account = await house.MadeAccount("wide", party, AccountRole.Registrar, AccountRole.Keeper);
        var token = await house.Token(account, AccountRole.Registrar);
        using Browser program = new(house.Url, ("Authorization", "Bearer " + token));
        Assert.Equal(HttpStatusCode.Redirect, (await program.Get("/account")).Status);
        await program.Post("/account", "/account?handler=Token", [("Purpose", "wider"), ("Days", "300"), ("TokenRoles", "Keeper")]);
        Assert.Single(await house.Accounts(d => d.TokensOf(account.Id, Ct)));
    }

    [Fact]
    public async Task Whoever_gave_a_browser_their_own_session_is_not_signed_in_as_the_next_who_signs_in_there()
    {
        await house.MadeAccount("mallory", AccountRole.Auditor);
        var victim = await house.MadeAccount("victim", AccountRole.Keeper);
        using var mallory = await house.SignedIn("mallory");
        using Browser shared = new(house.Url);
        shared.Give(AccountServices.CookieName, mallory.Cookie(AccountServices.CookieName));
        await shared.SignIn("victim");
        Assert.Equal(HttpStatusCode.OK, (await shared.Get("/accounts")).Status);
        Assert.NotEqual(HttpStatusCode.OK, (await mallory.Get("/accounts")).Status);
        Assert.Single(await house.Accounts(d => d.SessionsOf(victim.Id, Ct)));
    }

    [Fact]
    public async Task A_changed_password_ends_every_other_session_and_keeps_this_one()
    {
        await house.MadeAccount("changing", AccountRole.Auditor);
        using var here = await house.SignedIn("changing");
        using var there = await house.SignedIn("changing");
        var changed = await here.Post("/account", "/account?handler=Password", [("Present", InHouse.Password), ("Fresh", "six other words nobody ever says")]);
        Assert.Equal("/account", changed.Location);
        Assert.Equal(HttpStatusCode.OK, (await here.Get("/account")).Status);
        Assert.Equal(HttpStatusCode.Redirect, (await there.Get("/account")).Status);
    }

    [Fact]
    public async Task The_last_keeper_stays_keeper()
    {
        var keeper = await house.MadeAccount("only keeper", AccountRole.Keeper);
        Assert.Equal("last-keeper", (await house.Accounts(d => d.SetRoles(keeper.Id, [AccountRole.Auditor], Ct)))?.Code);
        await house.MadeAccount("another keeper", AccountRole.Keeper);
        Assert.Null(await house.Accounts(d => d.SetRoles(keeper.Id, [AccountRole.Auditor], Ct)));
    }

    [Fact]
    public async Task A_try_takes_the_work_of_one_password_whether_the_account_is_unknown_closed_locked_or_without_one()
    {
        var closed = await house.MadeAccount("closed", AccountRole.Auditor);
        Assert.Null(await house.Accounts(d => d.Close(closed.Id, Ct)));
        await house.Accounts(d => d.MakeProgram("a program", [AccountRole.Auditor], null, Ct));
        await house.MadeAccount("open", AccountRole.Auditor);
        await house.MadeAccount("locked", AccountRole.Auditor);
        using Browser browser = new(house.Url);
        for (var i = 0; i < 10; i++) await browser.SignIn("locked", "wrong wrong wrong");
        foreach (var name in new[] { "open", "nobody of that name", "closed", "a program", "locked" })
        {
            var before = hasher.Verified;
            Assert.Equal(HttpStatusCode.OK, (await browser.SignIn(name, "wrong wrong wrong")).Status);
            Assert.True(hasher.Verified == before + 1, $"{name}: {hasher.Verified - before} passwords hashed.");
        }
    }

    [Fact]
    public async Task Behind_a_proxy_with_tls_the_cookie_is_this_hosts_alone_and_goes_over_https_only()
    {
        await house.MadeAccount("proxied", AccountRole.Auditor);
        using Browser browser = new(house.Url, ("X-Forwarded-Proto", "https"), ("X-Forwarded-For", "192.0.2.7"));
        var answer = await browser.SignIn("proxied");
        var cookie = Assert.Single(answer.Cookies, c => c.Contains(AccountServices.CookieName, StringComparison.Ordinal));
        Assert.StartsWith("__Host-" + AccountServices.CookieName + "=", cookie, StringComparison.Ordinal);
        foreach (var part in new[] { "secure", "httponly", "path=/", "samesite=lax" }) Assert.Contains(part, cookie, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("domain=", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("max-age=", answer.StrictTransport, StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.OK, (await browser.Get("/account")).Status);
    }

    [Fact]
    public async Task Tries_are_limited_for_each_address_and_not_for_all_who_come_through_one_proxy()
    {
        using Browser eager = new(house.Url, ("X-Forwarded-For", "192.0.2.1")), other = new(house.Url, ("X-Forwarded-For", "192.0.2.2"));
        var last = HttpStatusCode.OK;
        for (var i = 0; i < 40 && last != HttpStatusCode.TooManyRequests; i++) last = (await eager.Get("/sign-in")).Status;
        Assert.Equal(HttpStatusCode.TooManyRequests, last);
        Assert.Equal(HttpStatusCode.OK, (await other.Get("/sign-in")).Status);
    }

    [Theory]
    [InlineData("/sign-in")]
    [InlineData("/invited")]
    public async Task What_is_far_too_large_is_refused(string page)
    {
        using Browser browser = new(house.Url);
        var answer = await browser.Post(page, ("Name", new string('n', 2_000_000)), ("Password", "x"));
        Assert.True(answer.Status is HttpStatusCode.RequestEntityTooLarge or HttpStatusCode.BadRequest, answer.Status.ToString());
    }

    [Theory]
    [InlineData("passwordpassword")]
    [InlineData("aaaaaaaaaaaaaaaaaa")]
    [InlineData("12345678901234567890")]
    [InlineData("weak-name@quill.example1")]
    [InlineData("custody baseball password")]
    public async Task A_password_that_is_tried_first_is_refused_with_the_reason(string password)
    {
        var token = await house.Invited("weak-name@quill.example", AccountRole.Auditor);
        var (account, refused) = await house.Accounts(d => d.Take(token, password, Ct));
        Assert.Null(account);
        Assert.NotEmpty(refused);
    }

    [Fact]
    public async Task Of_what_was_typed_at_the_door_nothing_is_logged()
    {
        await house.MadeAccount("unlogged@quill.example", AccountRole.Auditor);
        using Browser browser = new(house.Url);
        await browser.SignIn("unlogged@quill.example", "a wrong one nobody says");
        await browser.SignIn("unlogged@quill.example");
        foreach (var typed in new[] { "unlogged", "a wrong one", InHouse.Password }) Assert.DoesNotContain(typed, house.Logged, StringComparison.Ordinal);
    }

    sealed class CountingHasher : IPasswordHasher<Account>
    {
        readonly PasswordHasher<Account> real = new();
        int verified;

        public int Verified => verified;

        public string HashPassword(Account user, string password) => real.HashPassword(user, password);

        public PasswordVerificationResult VerifyHashedPassword(Account user, string hashedPassword, string providedPassword)
        {
            Interlocked.Increment(ref verified);
            return real.VerifyHashedPassword(user, hashedPassword, providedPassword);
        }
    }
}
