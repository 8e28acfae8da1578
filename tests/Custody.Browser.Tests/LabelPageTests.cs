using Custody.Bats;
using Custody.Evidence;
using Custody.Ledger;
using Custody.Ledger.Tests;
using Custody.Transparency;
using Microsoft.Playwright;

namespace Custody.Browser.Tests;

/// <summary>The page behind a label's address in a real browser: the same with scripts switched off, on a telephone's width, in light and in dark.</summary>
public sealed class LabelPageTests(Chromium chromium) : IClassFixture<Chromium>
{
    const string Address = "http://labels.example/L/";

    [Theory]
    [InlineData(360, ColorScheme.Light)]
    [InlineData(360, ColorScheme.Dark)]
    [InlineData(1280, ColorScheme.Light)]
    public async Task With_scripts_switched_off_it_is_the_same_to_the_last_dot_and_nothing_is_refused_or_asked_from_elsewhere(int width, ColorScheme scheme)
    {
        if (chromium.Browser is null) return;
        await using var with = await Open(width, scheme, scripts: true);
        await using var without = await Open(width, scheme, scripts: false);
        Assert.Equal(await with.Page.ScreenshotAsync(new() { FullPage = true }), await without.Page.ScreenshotAsync(new() { FullPage = true }));
        foreach (var open in new[] { with, without })
        {
            Assert.Empty(open.Said);
            Assert.All(open.Asked, a => Assert.StartsWith("http://labels.example/", a, StringComparison.Ordinal));
        }
    }

    [Theory]
    [InlineData(320)]
    [InlineData(360)]
    [InlineData(768)]
    public async Task Nothing_runs_off_the_side_of_a_telephone(int width)
    {
        if (chromium.Browser is null) return;
        await using var open = await Open(width, ColorScheme.Light, scripts: true);
        foreach (var details in await open.Page.Locator("summary").AllAsync()) await details.ClickAsync();
        Assert.Equal(width, await open.Page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
    }

    [Fact]
    public async Task Every_part_has_a_name_and_everything_to_press_can_be_reached_by_keyboard()
    {
        if (chromium.Browser is null) return;
        await using var open = await Open(360, ColorScheme.Light, scripts: true);
        foreach (var named in new[] { "Text of data/head", "or the file itself", "Your words" }) Assert.Equal(1, await open.Page.GetByLabel(named).CountAsync());
        Assert.Equal(1, await open.Page.GetByRole(AriaRole.Heading, new() { Level = 1 }).CountAsync());
        Assert.Equal(0, await open.Page.Locator("img:not([alt])").CountAsync());
        await open.Page.GetByLabel("Your words").FocusAsync();
        await open.Page.Keyboard.PressAsync("Tab");
        Assert.Equal("Make a challenge", await open.Page.EvaluateAsync<string>("document.activeElement.textContent"));
    }

    async Task<OpenPage> Open(int width, ColorScheme scheme, bool scripts)
    {
        var (html, token) = Written();
        var context = await chromium.Browser!.NewContextAsync(new()
        {
            JavaScriptEnabled = scripts,
            ColorScheme = scheme,
            ViewportSize = new() { Width = width, Height = 800 },
        });
        await context.RouteAsync("**/*", route => route.Request.Url == Address + token
            ? route.FulfillAsync(new()
            {
                Body = html,
                Headers = new Dictionary<string, string> { ["Content-Type"] = "text/html; charset=utf-8", ["Content-Security-Policy"] = PlainPage.ContentSecurityPolicy },
            })
            : route.FulfillAsync(new() { Status = 200, ContentType = "image/svg+xml", Body = "<svg xmlns='http://www.w3.org/2000/svg' width='480' height='320'><rect width='480' height='320' fill='#b98'/></svg>" }));
        var opened = new OpenPage(await context.NewPageAsync(), "");
        await opened.Page.GotoAsync(Address + token);
        return opened;
    }

    static (string Html, string Token) Written()
    {
        using TestLedger ledger = new();
        var bat = ledger.Bat().Do(TestDossier.Registration(TestDossier.House, TestDossier.House))
            .Do(new RecordBaseline(
                [.. Enum.GetValues<FixedView>().Select(v => new ViewPictured(v, TestDossier.PictureName))], Quantity.Parse("34.0", "[in_i]"), Quantity.Parse("32.1", "[oz_av]"),
                [new(Quantity.Parse("3", "[in_i]"), Quantity.Parse("3.1", "[in_i]"))], null, null)
            { By = TestDossier.House })
            .Do(new IssueLabel(LabelForm.Card, LabelPlace.TiedTag, "LABELS.EXAMPLE", []) { By = TestDossier.House })
            .Do(new RaiseClaim(ClaimKind.Title, TestLedger.Party('C'), AssertionBasis.HoldersWord, "a word", null) { By = TestLedger.Party('C') });
        var reading = History.Of(bat.Lines.Select(l => EntryCodec.Read(l.Bytes))).AsCorrected();
        var token = Crockford.Encode(Hash.Parse(bat.Lines[2].Hash).ToArray().AsSpan(0, 16));
        return (LabelPage.Write(new(reading, 3, token, ledger.Origin, TestDossier.Now, new HashSet<PictureHash> { TestDossier.PictureName })), token);
    }
}
