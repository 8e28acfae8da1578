using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Labels;
using Custody.Server.Tests.Web;
using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>The real server over a real database, and a real browser that walks through its rooms. A class fixture; null browser where Chromium is missing,
/// which is an error in CI.</summary>
public sealed class House : IAsyncLifetime
{
    readonly PostgresForTests postgres = new();
    IPlaywright? playwright;

    public IBrowser? Browser { get; private set; }

    /// <summary>The server, and ways to record what a test needs.</summary>
    internal RunningHouse Server { get; private set; } = null!;

    /// <summary>The house for which its staff act.</summary>
    internal PartyId Party { get; private set; } = PartyId.Ledger;

    public async ValueTask InitializeAsync()
    {
        await postgres.InitializeAsync();
        Server = await RunningHouse.Start(postgres.ConnectionString, CancellationToken.None);
        Party = await Server.Party("Northgate Rooms", PartyKind.House);
        if (Tool.Find("chromium", "chromium") is not { } chromium) return;
        playwright = await Playwright.CreateAsync();
        Browser = await playwright.Chromium.LaunchAsync(new() { ExecutablePath = chromium, Args = ["--no-sandbox"] });
    }

    /// <summary>A window of somebody with this role who acts for the house, or for another party.</summary>
    /// <param name="options">Size, light or dark, scripts off.</param>
    internal async Task<IPage> As(AccountRole role, PartyId? party = null, BrowserNewContextOptions? options = null)
    {
        options ??= new();
        options.BaseURL = Server.Url;
        options.ExtraHTTPHeaders = [new(TestSignIn.Header, TestSignIn.Of(party ?? Party, role))];
        return await (await Browser!.NewContextAsync(options)).NewPageAsync();
    }

    /// <summary>A window of somebody who is not signed in.</summary>
    internal async Task<IPage> Anybody(BrowserNewContextOptions? options = null)
    {
        options ??= new();
        options.BaseURL ??= Server.Url;
        return await (await Browser!.NewContextAsync(options)).NewPageAsync();
    }

    /// <summary>What axe-core finds against WCAG 2.2, levels A and AA, in the page as it stands: each as rule and place.</summary>
    internal static async Task<IReadOnlyList<string>> Barriers(IPage page)
    {
        AxeRunOptions wcag = new() { RunOnly = new() { Type = "tag", Values = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] } };
        var found = await page.RunAxe(wcag);
        return [.. found.Violations.SelectMany(v => v.Nodes.Select(n => $"{v.Id}: {n.Html}"))];
    }

    public async ValueTask DisposeAsync()
    {
        if (Browser is not null) await Browser.CloseAsync();
        playwright?.Dispose();
        await Server.DisposeAsync();
        await postgres.DisposeAsync();
    }
}
