using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Custody.Ledger;
using Custody.Ledger.Tests;
using Microsoft.Playwright;

namespace Custody.Browser.Tests;

/// <summary>The page as people use it, in a real Chromium.</summary>
public sealed partial class PageTests(Chromium chromium) : IClassFixture<Chromium>
{
    static Case Good => Cases.All.First(c => c.Name == "life 0") with { Label = null };

    [Fact]
    public async Task Opened_from_disk_the_page_says_of_at_least_300_dossiers_what_the_command_says()
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromDisk);
        Assert.True(Cases.All.Count >= 300, $"{Cases.All.Count} dossiers");
        List<string> found = [];
        foreach (var one in Cases.All)
        {
            await open.Pick(one);
            found.AddRange(Verdicts.Differences(one.ByCommand(), await Answer(open)).Select(d => $"{one.Name}: {d}"));
        }
        Assert.Empty(found);
        AssertAskedNothing(open, chromium.FromDisk);
    }

    [Fact]
    public async Task Opened_from_localhost_it_says_the_same_and_asks_for_nothing_but_itself()
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromLocalhost);
        foreach (var one in Cases.All.Where((_, i) => i % 20 == 0).Append(Good))
        {
            await open.Pick(one);
            Assert.Empty(Verdicts.Differences(one.ByCommand(), await Answer(open)));
        }
        AssertAskedNothing(open, chromium.FromLocalhost);
    }

    [Theory]
    [InlineData("lacks Ed25519", "crypto.subtle.importKey = () => Promise.reject(new DOMException('Unrecognized name.', 'NotSupportedError'));")]
    [InlineData("has no WebCrypto", "Object.defineProperty(globalThis, 'crypto', { value: {} });")]
    [InlineData("does not accept a known Ed25519 signature", "crypto.subtle.verify = () => Promise.resolve(false);")]
    public async Task Where_signatures_cannot_be_verified_the_page_says_so_and_checks_the_rest(string words, string before)
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromDisk, before);
        await AssertUnable(open, words);
    }

    [Fact]
    public async Task Over_plain_http_from_another_host_the_page_says_that_cryptography_is_kept_back()
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromElsewhere);
        await AssertUnable(open, "save it and open it from your disk");
    }

    static async Task AssertUnable(OpenPage open, string words)
    {
        await Assertions.Expect(open.Page.Locator("#unable")).ToContainTextAsync(words);
        await open.Pick(Good);
        var checks = (await Answer(open))["checks"]!.AsArray();
        Assert.Equal("notChecked", (string)checks[4]!["result"]!);
        Assert.Equal("notChecked", (string)checks[5]!["result"]!);
        Assert.Contains(words, (string)checks[4]!["reason"]!, StringComparison.Ordinal);
        foreach (var i in (int[])[0, 1, 2, 3, 6]) Assert.Equal("passed", (string)checks[i]!["result"]!);
    }

    [Fact]
    public async Task A_dossier_can_be_dragged_in()
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromDisk);
        var dropped = await open.Page.EvaluateHandleAsync(
            "bytes => { const data = new DataTransfer(); data.items.add(new File([Uint8Array.from(atob(bytes), c => c.charCodeAt(0))], 'bat.dossier.zip')); return data; }",
            Convert.ToBase64String(Good.Bytes));
        await open.Page.DispatchEventAsync("#drop", "dragover", new { dataTransfer = dropped });
        await open.Page.DispatchEventAsync("#drop", "drop", new { dataTransfer = dropped });
        await Assertions.Expect(open.Page.Locator("#status")).ToContainTextAsync("Nothing failed, complete as of");
        await Assertions.Expect(open.Page.Locator("#told")).ToContainTextAsync("Bat registered");
    }

    [Fact]
    public async Task Everything_can_be_done_from_the_keyboard_and_the_answer_gets_the_focus()
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromDisk);
        await open.Pick(Good);
        List<string> met = [];
        await open.Page.Locator("#dossier").FocusAsync();
        for (var i = 0; i < 5; i++)
        {
            await open.Page.Keyboard.PressAsync("Tab");
            met.Add(await open.Page.EvaluateAsync<string>("document.activeElement.id || document.activeElement.type || document.activeElement.localName"));
        }
        Assert.Equal(["key", "key-file", "label", "summary", "submit"], met);
        await open.Page.Locator("#label").FillAsync("https://LABELS.EXAMPLE/L/00000000000000000000000000");
        await open.Page.Locator("#label").PressAsync("Enter");
        await Assertions.Expect(open.Page.Locator("li[data-check='12']")).ToHaveAttributeAsync("data-result", "failed");
        Assert.Equal("report-title", await open.Page.EvaluateAsync<string>("document.activeElement.id"));
        Assert.Equal("status", await open.Page.Locator("#status").GetAttributeAsync("role"));
    }

    [Fact]
    public async Task A_key_that_is_none_is_refused_in_words_and_a_key_can_come_from_a_file()
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromDisk);
        await open.Pick(Good with { Key = "hello" });
        Assert.Contains("The key is not one: A verifier key is a name", await open.Status(), StringComparison.Ordinal);
        await open.Page.Locator("#key-file").SetInputFilesAsync(new FilePayload { Name = "key.txt", MimeType = "text/plain", Buffer = (Cases.All[0].Key + "\n").Bytes() });
        await Assertions.Expect(open.Page.Locator("#key")).ToHaveValueAsync(Cases.All[0].Key!);
    }

    [Fact]
    public async Task What_a_dossier_says_is_shown_as_text_and_never_run()
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromDisk);
        await open.Pick(Cases.All.First(c => c.Name == "corrected: occurred"));
        await Assertions.Expect(open.Page.Locator("#told")).ToContainTextAsync("ash, <34 in>, \"taped\"");
        Assert.Equal(0, await open.Page.Locator("#told script, #told img, #told a").CountAsync());
        await Assertions.Expect(open.Page.Locator("#told")).ToContainTextAsync("Told as corrected by entry 6.");
    }

    [Fact]
    public async Task An_old_dossier_never_looks_plainly_green_and_says_that_it_is_old()
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromDisk);
        await open.Page.Context.Clock.SetFixedTimeAsync(TestDossier.Now.UtcDateTime.AddDays(400));
        await open.Pick(Good);
        await Assertions.Expect(open.Page.Locator("#verdict")).ToContainTextAsync("It is old: a hold, a claim or a sale may have been recorded since.");
        foreach (var scheme in new[] { ColorScheme.Light, ColorScheme.Dark })
        {
            await open.Page.EmulateMediaAsync(new() { ColorScheme = scheme });
            var colours = await open.Page.EvaluateAsync<string[]>(
                "[...document.querySelectorAll('#verdict, #verdict *, #checks *')].flatMap(e => [getComputedStyle(e).color, getComputedStyle(e).backgroundColor, getComputedStyle(e).borderLeftColor])");
            Assert.DoesNotContain(colours, IsGreen);
        }
    }

    static bool IsGreen(string colour)
    {
        var parts = Numbers().Matches(colour).Select(m => int.Parse(m.Value, System.Globalization.CultureInfo.InvariantCulture)).ToArray();
        return parts[1] > parts[0] + 12 && parts[1] > parts[2] + 12;
    }

    [Fact]
    public async Task The_published_table_is_on_the_page_and_names_what_only_the_command_reaches()
    {
        if (chromium.Browser is null) return;
        await using var open = await chromium.Open(chromium.FromDisk);
        var rows = await open.Page.Locator("#reach tbody tr").AllInnerTextsAsync();
        Assert.Equal(CheckList.All.Select(c => $"{c.Number} {c.Name}|{c.ByCommand}|{c.ByPage}|{c.ByLabelPage}|{c.Elsewhere}"), rows.Select(r => r.Replace('\t', '|')));
        await Assertions.Expect(open.Page.Locator("#cautions")).ToContainTextAsync("It does not prove that whoever shows it owns or holds the bat.");
        await Assertions.Expect(open.Page.Locator("header")).ToContainTextAsync("never from whoever hands you a dossier");
    }

    [Fact]
    public void The_page_refers_to_nothing_outside_itself_and_is_the_same_every_time()
    {
        var page = System.Text.Encoding.UTF8.GetString(CheckerPage.Bytes.Span);
        Assert.DoesNotMatch(Outside(), page);
        Assert.Contains("default-src 'none'", page, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", page, StringComparison.Ordinal);
        Assert.Equal(Custody.Transparency.Hash.Of(CheckerPage.Bytes.Span).Text, CheckerPage.Sha256);
        Assert.Equal(CheckerPage.Modules.Count, CheckerPage.Modules.Select(m => m.Name).Distinct().Count());
    }

    static void AssertAskedNothing(OpenPage open, string address)
    {
        Assert.Equal([address], open.Asked);
        Assert.Empty(open.Said);
    }

    // What the page shows, in the form of the command's own answer.
    static async Task<JsonObject> Answer(OpenPage open)
    {
        if (await open.Page.Locator("#report").IsHiddenAsync())
        {
            var status = await open.Status();
            var at = status.IndexOf(" is not a dossier. ", StringComparison.Ordinal);
            return at < 0 ? new() { ["status"] = status } : new() { ["notADossier"] = status[(at + 19)..] };
        }
        var rows = await open.Page.EvaluateAsync<string[][]>(
            "[...document.querySelectorAll('#checks li')].map(li => [li.dataset.check, li.dataset.result, li.querySelector('h3').textContent, li.querySelector('.reason').textContent])");
        return new()
        {
            ["checks"] = new JsonArray([.. rows.Select(r => new JsonObject
            {
                ["number"] = int.Parse(r[0], System.Globalization.CultureInfo.InvariantCulture), ["result"] = r[1], ["name"] = r[2], ["reason"] = r[3],
            })]),
        };
    }

    [GeneratedRegex("""https?://|\bsrc=|\bhref=|@import|\burl\(|\bimport\s*\(|\bfetch\(|XMLHttpRequest|WebSocket|EventSource|sendBeacon|RTCPeer""")]
    private static partial Regex Outside();

    [GeneratedRegex("[0-9]+")]
    private static partial Regex Numbers();
}
