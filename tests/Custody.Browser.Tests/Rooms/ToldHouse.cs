using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Operating.Demo;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Labels;
using Custody.Server.Tests.Web;
using Custody.Server.Web;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>The whole demo story told into a real ledger, its server, and a real browser: for looking at every page as it is when there is something to see.</summary>
public sealed class ToldHouse : IAsyncLifetime
{
    const string Ledger = "bellwether";

    readonly PostgresForTests postgres = new();
    readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("custody-told-");
    WebApplication? app;
    IPlaywright? playwright;
    DemoMemory? memory;

    /// <summary>Null where Chromium is missing, which is an error in CI.</summary>
    public IBrowser? Browser { get; private set; }

    internal IServiceProvider Services => app!.Services;

    internal string Url => app!.Urls.Single();

    public async ValueTask InitializeAsync()
    {
        if (Tool.Find("chromium", "chromium") is not { } chromium) return;
        await postgres.InitializeAsync();
        StringWriter said = new();
        DemoRun run = new(DemoScript.Read(Path.Combine(AppContext.BaseDirectory, "demo-events")), folder.CreateSubdirectory("out"), said);
        Assert.True(await run.Run(folder, postgres.ConnectionString, CancellationToken.None) == 0, said.ToString());
        memory = run.Memory!;
        app = WebHost.Build(DemoHouse.All[0].Place(folder, postgres.ConnectionString), ["--urls", "http://127.0.0.1:0"], builder =>
        {
            builder.Logging.ClearProviders();
            TestSignIn.AddTo(builder.Services);
        });
        await app.Services.PrepareDatabase(CancellationToken.None);
        await app.StartAsync();
        await LeaveSomethingOpen();
        playwright = await Playwright.CreateAsync();
        Browser = await playwright.Chromium.LaunchAsync(new() { ExecutablePath = chromium, Args = ["--no-sandbox"] });
    }

    // The story ends everything it begins; a page of an open examination needs one.
    async Task LeaveSomethingOpen()
    {
        PartyId bench = new(Stream("party/frayne-bench"));
        OpenExamination open = new(new(Stream("party/frayne")), bench, ExaminedFrom.BatInHand, Blinding.FixedOrder, [], ProposedBy.NobodyYet, null, null, null, null, null) { By = bench };
        var outcome = await Services.GetRequiredService<Recorder>().Record(Stream("bat/harrow"), open, new Request(), CancellationToken.None);
        Assert.True(outcome is Recorded, outcome is Refused refused ? refused.Refusals[0].ToString() : outcome.ToString());
    }

    /// <summary>A stream of the story by its local name, such as <c>bat/amber</c>.</summary>
    internal StreamName Stream(string name) => memory!.StreamOf(Ledger, name) ?? throw new InvalidOperationException($"The story has no {name}.");

    /// <summary>A window of somebody with this role; null: not signed in.</summary>
    internal async Task<IPage> As(AccountRole? role, BrowserNewContextOptions options)
    {
        options.BaseURL = Url;
        if (role is { } known)
        {
            PartyId? party = known switch
            {
                AccountRole.Owner => new(Stream("party/castellane")),
                AccountRole.Examiner => new(Stream("party/frayne-bench")),
                AccountRole.Auditor or AccountRole.Keeper => null,
                _ => new(Stream("party/house")),
            };
            options.ExtraHTTPHeaders = [new(TestSignIn.Header, TestSignIn.Of(party, known))];
        }
        return await (await Browser!.NewContextAsync(options)).NewPageAsync();
    }

    public async ValueTask DisposeAsync()
    {
        if (Browser is not null) await Browser.CloseAsync();
        playwright?.Dispose();
        if (app is not null)
        {
            await app.StopAsync();
            await app.DisposeAsync();
            await postgres.DisposeAsync();
        }
        folder.Delete(recursive: true);
    }
}
