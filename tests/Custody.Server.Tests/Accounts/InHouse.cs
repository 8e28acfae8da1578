using System.Net;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Tests.Web;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Accounts;

/// <summary>Real accounts on a server under test: <c>house.MadeAccount(...)</c>, then <c>house.SignedIn(...)</c> for a browser of theirs or
/// <c>house.Token(...)</c> for a program's token. A test that is not about the door itself begins inside it, with <see cref="TestSignIn"/>.</summary>
static class InHouse
{
    public const string Password = "five words nobody else says";

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public static async Task<T> Accounts<T>(this RunningHouse house, Func<AccountDesk, Task<T>> what)
    {
        await using var scope = house.Get<IServiceScopeFactory>().CreateAsyncScope();
        return await what(scope.ServiceProvider.GetRequiredService<AccountDesk>());
    }

    public static Task<string> Invited(this RunningHouse house, string name, params AccountRole[] roles) => house.Accounts(async d => (await d.Invite(name, "Somebody", roles, null, Ct)).Token!);

    public static Task<Account> MadeAccount(this RunningHouse house, string name, params AccountRole[] roles) => house.MadeAccount(name, null, roles);

    public static Task<Account> MadeAccount(this RunningHouse house, string name, PartyId? party, params AccountRole[] roles) => house.Accounts(async d =>
    {
        var (token, refused) = await d.Invite(name, "Somebody", roles, party, Ct);
        Assert.Null(refused);
        return (await d.Take(token!, Password, Ct)).Account!;
    });

    public static async Task<Browser> SignedIn(this RunningHouse house, string name, params (string Name, string Value)[] headers)
    {
        Browser browser = new(house.Url, headers);
        Assert.Equal(HttpStatusCode.Redirect, (await browser.SignIn(name)).Status);
        return browser;
    }

    public static Task<Shown> SignIn(this Browser browser, string name, string password = Password) => browser.Post("/sign-in", ("Name", name), ("Password", password));

    public static async Task<string> Token(this RunningHouse house, Account account, params AccountRole[] roles) =>
        (await house.Accounts(d => d.MakeToken(account, "a script", roles, TimeSpan.FromDays(1), Ct))).Token!;
}
