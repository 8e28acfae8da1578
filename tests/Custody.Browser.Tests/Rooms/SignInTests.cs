using Custody.Server.Accounts;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>Through the door in a real browser: an invitation taken up, a passkey added with a virtual authenticator (WebAuthn Level 3 section 11), and used.</summary>
public sealed class SignInTests(House house) : IClassFixture<House>
{
    const string Password = "five words nobody else says";

    [Fact]
    public async Task Somebody_invited_makes_an_account_adds_a_passkey_and_comes_back_with_it()
    {
        if (house.Browser is null) return;
        // Passkeys are for a name, not a number.
        var page = await house.Anybody(new() { BaseURL = house.Server.Url.Replace("127.0.0.1", "localhost", StringComparison.Ordinal) });
        await WithAuthenticator(page);
        await page.GotoAsync("/invited?token=" + await Invite("ada@quill.example", "Ada Quill"));
        Assert.Empty(await House.Barriers(page));
        await page.GetByLabel("Choose a password").FillAsync(Password);
        await page.GetByLabel("The same again").FillAsync(Password);
        await page.GetByRole(AriaRole.Button, new() { Name = "Make the account" }).ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Ada Quill" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Add a passkey of this device" }).ClickAsync();
        await page.GetByText("The passkey is added.").WaitForAsync();
        Assert.Empty(await House.Barriers(page));
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();
        await page.GotoAsync("/account");
        Assert.Contains("/sign-in?back=%2Faccount", page.Url, StringComparison.Ordinal);
        Assert.Empty(await House.Barriers(page));
        await page.GetByRole(AriaRole.Button, new() { Name = "Use a passkey" }).ClickAsync();
        await page.WaitForURLAsync("**/account");
        Assert.Equal("Your account", await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).InnerTextAsync());
    }

    [Fact]
    public async Task The_keeper_invites_and_the_link_is_shown_once()
    {
        if (house.Browser is null) return;
        var page = await house.As(AccountRole.Keeper);
        await page.GotoAsync("/accounts");
        await page.GetByLabel("Name shown").FillAsync("Ben Orchard");
        await page.GetByLabel("Name to sign in with").FillAsync("ben@orchard.example");
        await page.GetByLabel("Registrar").CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Make the invitation" }).ClickAsync();
        // What was typed stays, and the refusal stands beside the field it is about.
        Assert.Contains("acts for a party", await page.Locator("#f-Party-error").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("Ben Orchard", await page.GetByLabel("Name shown").InputValueAsync());
        await page.GetByLabel("Acts for").FillAsync(house.Party.ToString());
        await page.GetByRole(AriaRole.Button, new() { Name = "Make the invitation" }).ClickAsync();
        Assert.Contains("/invited?token=", await page.Locator(".done code").InnerTextAsync(), StringComparison.Ordinal);
        await page.GotoAsync("/accounts");
        Assert.Equal(0, await page.GetByText("/invited?token=").CountAsync());
        Assert.Empty(await House.Barriers(page));
    }

    async Task<string> Invite(string name, string shown)
    {
        await using var scope = house.Server.Get<IServiceScopeFactory>().CreateAsyncScope();
        return (await scope.ServiceProvider.GetRequiredService<AccountDesk>().Invite(name, shown, [AccountRole.Registrar], house.Party, CancellationToken.None)).Token!;
    }

    static async Task WithAuthenticator(IPage page)
    {
        var protocol = await page.Context.NewCDPSessionAsync(page);
        await protocol.SendAsync("WebAuthn.enable");
        await protocol.SendAsync("WebAuthn.addVirtualAuthenticator", new()
        {
            ["options"] = new Dictionary<string, object>
            {
                ["protocol"] = "ctap2",
                ["transport"] = "internal",
                ["hasResidentKey"] = true,
                ["hasUserVerification"] = true,
                ["isUserVerified"] = true,
                ["automaticPresenceSimulation"] = true,
            },
        });
    }
}
