using System.Collections.Concurrent;
using System.Net;
using Custody.Ledger;
using Custody.Ledger.Tests;
using Custody.Server.Tests.Labels;
using Microsoft.Playwright;

namespace Custody.Browser.Tests;

/// <summary>One real browser for all tests, and the page as a file on disk and behind two addresses on this machine: localhost, and one that a
/// browser takes for any other host.</summary>
public sealed class Chromium : IAsyncLifetime
{
    const string Elsewhere = "checker.example";

    readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("custody-page-");
    HttpListener listener = new();
    IPlaywright? playwright;

    /// <summary>Null where Chromium is missing, which is an error in CI.</summary>
    public IBrowser? Browser { get; private set; }

    public string FromDisk => new Uri(Path.Combine(folder.FullName, CheckerPage.FileName)).AbsoluteUri;

    public string FromLocalhost { get; private set; } = "";

    /// <summary>Not a secure context: http, and not by a name of this machine.</summary>
    public string FromElsewhere => FromLocalhost.Replace("localhost", Elsewhere, StringComparison.Ordinal);

    public async ValueTask InitializeAsync()
    {
        await File.WriteAllBytesAsync(Path.Combine(folder.FullName, CheckerPage.FileName), CheckerPage.Bytes.ToArray());
        if (Tool.Find("chromium", "chromium") is not { } chromium) return;
        Serve();
        playwright = await Playwright.CreateAsync();
        Browser = await playwright.Chromium.LaunchAsync(new()
        {
            ExecutablePath = chromium,
            Args = ["--no-sandbox", $"--host-resolver-rules=MAP {Elsewhere} 127.0.0.1"],
        });
    }

    void Serve()
    {
        for (var port = 20_000 + (Environment.ProcessId % 20_000); !listener.IsListening; port++)
        {
            listener.Prefixes.Add($"http://*:{port}/");
            try
            {
                listener.Start();
                FromLocalhost = $"http://localhost:{port}/{CheckerPage.FileName}";
            }
            catch (HttpListenerException) when (port < 60_000)
            {
                // Taken by somebody else: the next one. A listener that could not start is of no more use.
                listener = new HttpListener();
            }
        }
        _ = Task.Run(Answer);
    }

    async Task Answer()
    {
        try
        {
            while (listener.IsListening)
            {
                var context = await listener.GetContextAsync();
                var found = context.Request.Url!.AbsolutePath == "/" + CheckerPage.FileName;
                context.Response.StatusCode = found ? 200 : 404;
                context.Response.ContentType = "text/html";
                if (found) await context.Response.OutputStream.WriteAsync(CheckerPage.Bytes);
                context.Response.Close();
            }
        }
        catch (Exception stopped) when (stopped is HttpListenerException or ObjectDisposedException)
        {
            // The tests are over.
        }
    }

    /// <summary>The page, opened in a window of its own whose clock stands where the dossiers' does.</summary>
    /// <param name="before">A script that changes what the browser offers, before the page's own runs.</param>
    public async Task<OpenPage> Open(string address, string? before = null, BrowserNewContextOptions? options = null)
    {
        var context = await Browser!.NewContextAsync(options);
        await context.Clock.SetFixedTimeAsync(TestDossier.Now.UtcDateTime);
        var page = await context.NewPageAsync();
        var opened = new OpenPage(page, folder.FullName);
        if (before is not null) await page.AddInitScriptAsync(before);
        await page.GotoAsync(address);
        return opened;
    }

    public async ValueTask DisposeAsync()
    {
        listener.Close();
        if (Browser is not null) await Browser.CloseAsync();
        playwright?.Dispose();
        folder.Delete(recursive: true);
    }
}

/// <summary>A window with the page in it.</summary>
public sealed class OpenPage : IAsyncDisposable
{
    readonly string folder;

    internal OpenPage(IPage page, string folder)
    {
        (Page, this.folder) = (page, folder);
        page.Request += (_, request) => Asked.Enqueue(request.Url);
        page.PageError += (_, error) => Said.Enqueue(error);
        page.Console += (_, message) => Said.Enqueue(message.Text);
    }

    public IPage Page { get; }

    /// <summary>Every address the page asked for, its own first.</summary>
    public ConcurrentQueue<string> Asked { get; } = new();

    /// <summary>Errors and whatever was written to the console, a refusal of the content security policy among it.</summary>
    public ConcurrentQueue<string> Said { get; } = new();

    public ValueTask DisposeAsync() => new(Page.Context.CloseAsync());

    /// <summary>Picks a file and waits for the answer.</summary>
    internal async Task Pick(Case one)
    {
        var path = Path.Combine(folder, Guid.NewGuid().ToString("N") + ".zip");
        await File.WriteAllBytesAsync(path, one.Bytes);
        await Page.Locator("#key").FillAsync(one.Key ?? "");
        await Page.Locator("#label").FillAsync(one.Label ?? "");
        if (one.Policy is not null) await Page.Locator("details").EvaluateAsync("e => e.open = true");
        if (await Page.Locator("#policy").IsVisibleAsync()) await Page.Locator("#policy").FillAsync(one.Policy ?? "");
        await Page.Locator("#dossier").SetInputFilesAsync(path);
        await Page.Locator("body[aria-busy=false]").WaitForAsync();
    }

    internal Task<string> Status() => Page.Locator("#status").InnerTextAsync();
}
