using System.Text.RegularExpressions;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Custody.Server.Sharing;
using Custody.Server.Transferring;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Mvc.RazorPages;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>Every page of the program, found by its routes, over the whole story: no barrier that axe-core knows, nothing that runs off the side, one heading, no
/// word from the console. With CUSTODY_SCREENS=DIR each is also written as a picture (ops/screens.sh).</summary>
public sealed partial class EveryPageTests(ToldHouse house) : IClassFixture<ToldHouse>
{
    static readonly string? Pictures = Environment.GetEnvironmentVariable("CUSTODY_SCREENS");

    [Theory]
    [InlineData(1280, ColorScheme.Light)]
    [InlineData(1280, ColorScheme.Dark)]
    [InlineData(390, ColorScheme.Light)]
    public async Task Every_page_can_be_read_by_everybody_it_is_for(int width, ColorScheme scheme)
    {
        if (house.Browser is null) return;
        List<string> wrong = [];
        foreach (var (pattern, role) in Pages())
        {
            if (await Look(pattern, role, width, scheme) is { Count: > 0 } found) wrong.AddRange(found.Select(f => $"{pattern} ({role}): {f}"));
        }
        Assert.True(wrong.Count == 0, string.Join("\n", wrong));
    }

    [Fact]
    public async Task The_history_statement_prints_on_paper_with_cautions_history_and_opinions_and_nothing_of_the_screen()
    {
        if (house.Browser is null) return;
        // A4 without its margins, at 96 dots to the inch.
        var page = await house.As(AccountRole.Registrar, new() { ViewportSize = new() { Width = 720, Height = 1040 } });
        await page.GotoAsync(await Filled("/bats/{number}/statement"));
        await page.EmulateMediaAsync(new() { Media = Media.Print });
        Assert.Equal(720, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        foreach (var screen in new[] { "header.top", ".themes", ".noprint" }) await Assertions.Expect(page.Locator(screen).First).ToBeHiddenAsync();
        foreach (var heading in new[] { "Opinions", "Chain of custody", "Everything recorded" }) await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Name = heading })).ToBeVisibleAsync();
        foreach (var caution in Cautions.Said) await Assertions.Expect(page.Locator(".statement .caution")).ToContainTextAsync(caution);
        var pdf = await page.PdfAsync(new() { Format = "A4", Margin = new() { Top = "15mm", Bottom = "15mm", Left = "10mm", Right = "10mm" } });
        Assert.True(pdf.AsSpan(0, 5).SequenceEqual("%PDF-"u8));
        if (Pictures is not null) await File.WriteAllBytesAsync(Path.Combine(Pictures, "statement.pdf"), pdf, TestContext.Current.CancellationToken);
        await page.Context.CloseAsync();
    }

    async Task<List<string>> Look(string pattern, AccountRole? role, int width, ColorScheme scheme)
    {
        List<string> wrong = [];
        var page = await house.As(role, new() { ViewportSize = new() { Width = width, Height = 900 }, ColorScheme = scheme, ReducedMotion = ReducedMotion.Reduce });
        page.Console += (_, message) => { if (message.Type is "error" or "warning") wrong.Add("the console says " + message.Text); };
        page.PageError += (_, error) => wrong.Add(error);
        var answer = await page.GotoAsync(await Filled(pattern));
        if (answer!.Status != 200) return [$"answered {answer.Status}"];
        if (await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).CountAsync() != 1) wrong.Add("has not one heading");
        if (await page.EvaluateAsync<int>("document.documentElement.scrollWidth") > width) wrong.Add("runs off the side");
        // The rules that axe-core knows do not depend on the width.
        if (width > 1000) wrong.AddRange(await House.Barriers(page));
        if (width > 1000 && scheme == ColorScheme.Light) wrong.AddRange(await ByKeyboard(page));
        if (Pictures is not null) await page.ScreenshotAsync(new() { FullPage = true, Path = Path.Combine(Pictures, $"{Slashes().Replace(pattern.Trim('/'), "-")}-{role}-{width}-{scheme}.png") });
        if (width < 1000) wrong.AddRange(await Narrow(page));
        await page.Context.CloseAsync();
        return wrong;
    }

    /// <summary>The width that a window of 1280 has at 400 % (WCAG 2.2, 1.4.10 Reflow), with names far longer than any of the story's, and set from right to left.</summary>
    static async Task<List<string>> Narrow(IPage page)
    {
        List<string> wrong = [];
        await page.SetViewportSizeAsync(320, 900);
        await page.EvaluateAsync("name => document.querySelectorAll('[dir=auto]').forEach(e => { if (e.childElementCount === 0 && e.tagName !== 'INPUT' && e.tagName !== 'TEXTAREA') e.textContent = name; })", LongName);
        foreach (var direction in new[] { "ltr", "rtl" })
        {
            await page.EvaluateAsync("d => document.documentElement.dir = d", direction);
            if (await page.EvaluateAsync<int>("document.documentElement.scrollWidth") > 320) wrong.Add($"runs off the side at 320 with long names ({direction}): {await page.EvaluateAsync<string>(Widest)}");
        }
        return wrong;
    }

    const string LongName = "Wolfeschlegelbrunnenbergstormwater-Quarterjackfeatherstone of the Third House of Umbelline";

    // Names the elements that stick out, so that whoever reads the failure knows where to look.
    const string Widest = """
        [...document.body.querySelectorAll('*')].filter(e => { const b = e.getBoundingClientRect(); return b.width > 0 && (b.right > 321 || b.left < -1) && !e.closest('.wide'); })
            .slice(0, 3).map(e => e.tagName.toLowerCase() + '.' + e.className + ' ' + (e.textContent || '').trim().slice(0, 30)).join('; ')
        """;

    /// <summary>Goes through a page with the tabulator alone: what has the focus shows it and is in sight, and nothing keeps it (WCAG 2.2, 2.1.2, 2.4.7 and 2.4.11).</summary>
    static async Task<List<string>> ByKeyboard(IPage page)
    {
        List<string> wrong = [];
        await page.EvaluateAsync("() => { document.activeElement.blur(); window.scrollTo(0, 0); }");
        var (before, stays) = ("", 0);
        for (var i = 0; i < MostStops; i++)
        {
            await page.Keyboard.PressAsync("Tab");
            var at = await page.EvaluateAsync<string[]>(Focused);
            // Past the last stop the browser's own controls have it.
            if (at.Length == 0) return wrong;
            // A date's field has stops of its own inside: day, month, year and the calendar.
            stays = at[0] == before ? stays + 1 : 0;
            if (stays > 4) wrong.Add($"the focus stays on {at[0]}");
            if (at[1] != "shown") wrong.Add($"{at[0]} has the focus and does not show it");
            if (at[2] != "in sight") wrong.Add($"{at[0]} has the focus out of sight");
            if (wrong.Count > 0) return wrong;
            before = at[0];
        }
        return wrong;
    }

    /// <summary>So many stops of a page are gone through; the longest lists repeat themselves.</summary>
    const int MostStops = 80;

    const string Focused = """
        () => {
            const e = document.activeElement;
            if (!e || e === document.body) return [];
            // A date's field shows at which of its parts one is; on its calendar's button the whole field has no ring.
            const style = getComputedStyle(e), box = e.getBoundingClientRect();
            window.stops = window.stops || new Map();
            if (!window.stops.has(e)) window.stops.set(e, window.stops.size);
            return [
                window.stops.get(e) + ' ' + e.tagName.toLowerCase() + ' ' + (e.getAttribute('aria-label') || e.name || e.textContent || '').trim().slice(0, 40),
                (style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 1) || e.type === 'date' ? 'shown' : 'not shown',
                box.bottom > 0 && box.top < window.innerHeight && box.right > 0 && box.left < window.innerWidth ? 'in sight' : 'out of sight',
            ];
        }
        """;

    /// <summary>Every page with the first role that may use it.</summary>
    IEnumerable<(string Pattern, AccountRole? Role)> Pages() => house.Services.GetRequiredService<EndpointDataSource>().Endpoints.OfType<RouteEndpoint>()
        .Where(e => e.Metadata.GetMetadata<PageActionDescriptor>() is not null).DistinctBy(e => e.RoutePattern.RawText).OrderBy(e => e.RoutePattern.RawText, StringComparer.Ordinal)
        .Select(e => ("/" + e.RoutePattern.RawText!.TrimStart('/'), e.Metadata.GetMetadata<IAllowAnonymous>() is not null ? null : (AccountRole?)Enum.Parse<AccountRole>(e.Metadata.GetMetadata<IAuthorizeData>()!.Roles!.Split(',')[0])))
        // What only takes a form, what only somebody's own account has, what an invitation's link alone opens; and two that stand only between locking and closing:
        // the walks through the door and through an examination look at those.
        .Where(p => !(p.Item1 is "/theme" or "/label" or "/sign-out" or "/account" or "/invited" or "/status/{code:int}" || p.Item1.EndsWith("/revise", StringComparison.Ordinal) || p.Item1.EndsWith("/unmask", StringComparison.Ordinal)));

    /// <summary>The address of a page about something of the story: an entry of the kind that the word before it names.</summary>
    async Task<string> Filled(string pattern)
    {
        // The owner whom the story's house is looked at as holds title to clover.
        var stream = house.Stream(pattern.Contains("/comparisons/", StringComparison.Ordinal) ? "bat/amber" : pattern.StartsWith("/mine/", StringComparison.Ordinal) || pattern.Contains("{token}", StringComparison.Ordinal) ? "bat/clover" : "bat/harrow");
        var bat = (await house.Services.GetRequiredService<BatFinder>().Find(stream.ToString(), CancellationToken.None))!;
        var token = await Token(pattern, bat);
        var lot = bat.Lots.ByEntry.Values.LastOrDefault();
        return Part().Replace(pattern, part => (part.Groups[1].Value, pattern[..part.Index].Trim('/').Split('/')[^1]) switch
        {
            ("token", _) => token,
            ("number", _) => bat.Registration!.ShortNumber,
            ("n", "examinations") => Number(bat.Examinations.ByEntry.Keys.Last()),
            ("n", "opinions") => Number(bat.Opinions.ByEntry.Keys.Last()),
            ("id", "sales") => lot!.Terms.Stream.Id,
            ("lot", "lots") => lot!.Number,
            ("n", "comparisons") => Number(bat.PictureComparisons.ByEntry.Keys.Last()),
            var unknown => throw new InvalidOperationException($"{pattern}: say what stands for {unknown}."),
        });
    }

    // Links are made by their owners, and known to whom they were given alone.
    async Task<string> Token(string pattern, Bat bat)
    {
        PartyId owner = new(house.Stream("party/castellane"));
        return pattern switch
        {
            "/shared/{token}" => (await house.Services.GetRequiredService<SharingDesk>().Share(bat, Reveal.Nothing, null, owner, 1, CancellationToken.None)).Done!.Token,
            "/transfer/{token}" => (await house.Services.GetRequiredService<TransferDesk>().Offer(bat, bat.Title.Shares.Keys.Single(), new(owner, "whoever it is", AcquisitionKind.Gift, false), CancellationToken.None)).Token!,
            _ => "",
        };
    }

    static string Number(long n) => n.ToString(System.Globalization.CultureInfo.InvariantCulture);

    [GeneratedRegex(@"\{([a-z]+)(:[^}]*)?\??\}", RegexOptions.IgnoreCase)]
    private static partial Regex Part();

    [GeneratedRegex(@"[^a-z0-9]+", RegexOptions.IgnoreCase)]
    private static partial Regex Slashes();
}
