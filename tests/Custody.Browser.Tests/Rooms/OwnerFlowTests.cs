using System.IO.Compression;
using System.Text.RegularExpressions;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Log;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>An owner proves a history: chooses, sees what the reader will see, makes the dossier, shares it, ends the link. And a buyer who asks whether the owner
/// answers for the bat.</summary>
public sealed partial class OwnerFlowTests(House house) : IClassFixture<House>
{
    static CancellationToken Ct => TestContext.Current.CancellationToken;

    const string Described = "Ash bat with a taped handle & a <mark>", Named = "Ada Quill";

    async Task<(PartyId Owner, StreamName Bat, string Number)> Owned(PartyId? keeper = null)
    {
        var owner = await house.Server.Party(Named);
        var bat = await house.Server.Bat(owner, keeper, Described, "Northgate, shelf 4");
        await house.Server.Published(bat);
        return (owner, bat, ((Bat)(await house.Server.Get<Server.Recording.BatFinder>().Find(bat.ToString(), default))!).Registration!.ShortNumber);
    }

    static ILocator Seen(IPage page) => page.Locator("#seen .readers");

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task What_is_ticked_is_shown_in_preview_dossier_and_link_and_nothing_else_with_and_without_script(bool script)
    {
        if (house.Browser is null) return;
        // Other tests of this house share links that stay.
        var before = SharedFiles();
        var (owner, _, number) = await Owned();
        var page = await house.As(AccountRole.Owner, owner, new() { JavaScriptEnabled = script });
        await page.GotoAsync("/mine");
        await page.GetByRole(AriaRole.Link, new() { Name = "Prove its history" }).ClickAsync();
        await Assertions.Expect(Seen(page)).ToBeVisibleAsync();
        await Assertions.Expect(Seen(page)).Not.ToContainTextAsync(Described);
        await page.GetByLabel(Described).CheckAsync();
        if (!script) await page.GetByRole(AriaRole.Button, new() { Name = "Show what the reader will see" }).ClickAsync();
        await Assertions.Expect(Seen(page)).ToContainTextAsync(Described);
        await Assertions.Expect(Seen(page)).Not.ToContainTextAsync(Named);
        var preview = await Seen(page).TextContentAsync();

        var download = await page.RunAndWaitForDownloadAsync(() => page.GetByRole(AriaRole.Button, new() { Name = "Make the dossier" }).ClickAsync());
        var file = await File.ReadAllBytesAsync(await download.PathAsync(), Ct);
        Assert.Equal(number + ".dossier.zip", download.SuggestedFilename);
        Holds(file);
        Assert.Equal(Words(preview!), Words(await TextOf(page, PageIn(file))));

        await page.GetByRole(AriaRole.Button, new() { Name = "Share it by a link" }).ClickAsync();
        var address = await page.Locator("#shared-address").InnerTextAsync();
        Assert.Equal(before.Length + 1, SharedFiles().Length);
        var reader = await house.Anybody(new() { JavaScriptEnabled = script });
        await reader.GotoAsync(address);
        await Assertions.Expect(reader.Locator("main")).ToContainTextAsync("each time you open or download it, one is added to a count of that day");
        await Assertions.Expect(reader.Locator(".readers")).ToHaveCountAsync(0);
        await page.GotoAsync("/mine");
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("not yet");
        await reader.GetByRole(AriaRole.Button, new() { Name = "Open it here" }).ClickAsync();
        Assert.Equal(Words(preview!), Words((await reader.Locator(".readers").TextContentAsync())!));
        await page.ReloadAsync();
        await Assertions.Expect(page.Locator("td", new() { HasTextRegex = OneOpen() })).ToHaveCountAsync(1);
        if (script) Assert.Empty(await House.Barriers(page));

        await page.GetByRole(AriaRole.Button, new() { Name = "End it" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Status)).ToContainTextAsync("The link was ended");
        var gone = await reader.GotoAsync(address);
        Assert.Equal(404, gone!.Status);
        await Assertions.Expect(reader.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("This link leads nowhere");
        Assert.Equal(before, SharedFiles());
    }

    string[] SharedFiles() => Directory.Exists(house.Server.Place.Folder("shared")) ? [.. Directory.GetFiles(house.Server.Place.Folder("shared")).Order(StringComparer.Ordinal)] : [];

    // Every check that can pass without cosigners passes, and the withheld name stands nowhere in the file.
    void Holds(byte[] file)
    {
        using MemoryStream stream = new(file);
        var report = Checker.Run(DossierReader.Read(stream), new Expected([house.Server.Get<LogDesk>().Key], null, DateTimeOffset.UtcNow));
        Assert.DoesNotContain(report.Checks, c => c.Result == CheckResult.Failed);
        Assert.Contains(report.Checks, c => c.Result == CheckResult.Passed);
        using ZipArchive zip = new(new MemoryStream(file));
        foreach (var entry in zip.Entries)
        {
            using StreamReader text = new(entry.Open());
            Assert.DoesNotContain(Named, text.ReadToEnd(), StringComparison.Ordinal);
        }
    }

    static byte[] PageIn(byte[] file)
    {
        using MemoryStream stream = new(file);
        return DossierReader.Read(stream).Page!.Value.ToArray();
    }

    // As a browser reads the page itself, opened alone.
    static async Task<string> TextOf(IPage page, byte[] html)
    {
        var alone = await page.Context.NewPageAsync();
        await alone.SetContentAsync(System.Text.Encoding.UTF8.GetString(html));
        var text = string.Concat(await alone.Locator("body").EvaluateAllAsync<string[]>("all => all.map(e => e.textContent)"));
        await alone.CloseAsync();
        return text;
    }

    // All but the time of the checkpoint: that a dossier was handed out is recorded too, so that each next one stands under a later checkpoint.
    static string Words(string text) => AsOf().Replace(string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)), "as of then");

    // A day and how often.
    [GeneratedRegex(@"^\s*\S+ \S+ \S+: 1\s*$")]
    private static partial Regex OneOpen();

    [GeneratedRegex("as of [-0-9T:]+Z")]
    private static partial Regex AsOf();

    [Fact]
    public async Task A_link_leads_nowhere_once_title_passed_and_nobody_proves_a_bat_of_somebody_else()
    {
        if (house.Browser is null) return;
        var (owner, bat, number) = await Owned();
        var other = await house.Server.Party("Bo Lark");
        var page = await house.As(AccountRole.Owner, other);
        Assert.Equal(404, (await page.GotoAsync($"/mine/{number}/prove"))!.Status);
        page = await house.As(AccountRole.Owner, owner);
        await page.GotoAsync($"/mine/{number}/prove");
        await page.GetByRole(AriaRole.Button, new() { Name = "Share it by a link" }).ClickAsync();
        var address = await page.Locator("#shared-address").InnerTextAsync();
        Assert.Equal(200, (await (await house.Anybody()).GotoAsync(address))!.Status);
        await house.Server.Do(bat, new AcquireBat(AcquisitionKind.Gift, [new(other, Fraction.Whole)], AssertionBasis.HoldersWord, null, null, null, null) { By = owner });
        Assert.Equal(404, (await (await house.Anybody()).GotoAsync(address))!.Status);
        Assert.Equal(404, (await page.GotoAsync($"/mine/{number}/prove"))!.Status);
    }

    [Fact]
    public async Task A_link_to_what_was_erased_leads_nowhere_and_its_file_cannot_be_read()
    {
        if (house.Browser is null) return;
        var keeper = await house.Server.Party("Cy Marsh");
        var (owner, _, number) = await Owned(keeper);
        var page = await house.As(AccountRole.Owner, owner);
        await page.GotoAsync($"/mine/{number}/prove");
        await page.GetByRole(AriaRole.Button, new() { Name = "Tick everything" }).ClickAsync();
        await Assertions.Expect(Seen(page)).ToContainTextAsync("Cy Marsh");
        await page.GetByRole(AriaRole.Button, new() { Name = "Share it by a link" }).ClickAsync();
        var address = await page.Locator("#shared-address").InnerTextAsync();
        var reader = await house.Anybody();
        await reader.GotoAsync(address);
        house.Server.Get<Server.Private.KeyRing>().Destroy(keeper.ToString());
        await reader.GetByRole(AriaRole.Button, new() { Name = "Open it here" }).ClickAsync();
        await Assertions.Expect(reader.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("This link leads nowhere");
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_buyer_goes_from_label_to_challenge_the_owner_answers_and_the_buyer_sees_it(bool script)
    {
        if (house.Browser is null) return;
        var (owner, bat, number) = await Owned();
        var issued = await house.Server.Do(bat, new IssueLabel(LabelForm.Card, LabelPlace.TiedTag, "labels.example", null) { By = owner });
        await house.Server.Published(bat);
        var token = Custody.Transparency.Crockford.Encode(Custody.Transparency.Base64Url.Decode(issued[0].Hash).AsSpan(0, 16));
        var buyer = await house.Anybody(new() { JavaScriptEnabled = script });
        await buyer.GotoAsync("/");
        await buyer.GetByLabel("Characters on the label").FillAsync(string.Join(' ', token.Chunk(4).Select(c => new string(c))).ToLowerInvariant());
        await buyer.GetByRole(AriaRole.Button, new() { Name = "Look it up" }).ClickAsync();
        Assert.EndsWith("/L/" + token.ToLowerInvariant(), buyer.Url, StringComparison.OrdinalIgnoreCase);
        await Assertions.Expect(buyer.Locator("main")).ToContainTextAsync(number);
        await buyer.Locator("[name=words]").FillAsync("Perriwinkle at the counter");
        await buyer.Locator("form[action$='/challenge'] button").ClickAsync();
        var code = (await buyer.Locator("td").First.InnerTextAsync()).Trim();

        var page = await house.As(AccountRole.Owner, owner, new() { JavaScriptEnabled = script });
        await page.GotoAsync("/mine/challenges");
        if (script) Assert.Empty(await House.Barriers(page));
        await page.GetByLabel("Code").FillAsync(code);
        await page.GetByLabel("The buyer's own words").FillAsync("other words");
        await page.GetByRole(AriaRole.Button, new() { Name = "Answer it" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-Input-Words-error")).ToContainTextAsync("not the words");
        Assert.Equal(code, await page.GetByLabel("Code").InputValueAsync());
        await page.GetByLabel("The buyer's own words").FillAsync("perriwinkle at the  counter");
        await page.GetByRole(AriaRole.Button, new() { Name = "Answer it" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Status)).ToContainTextAsync("Answered.");

        await buyer.GetByRole(AriaRole.Button, new() { Name = "See whether it was answered" }).ClickAsync();
        await Assertions.Expect(buyer.Locator("main")).ToContainTextAsync("who answers for the account of a holder of title");
        await buyer.GotoAsync("/check");
        await Assertions.Expect(buyer.Locator("main")).ToContainTextAsync(Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(CheckerPage.Bytes.Span)));
        if (script) Assert.Empty(await House.Barriers(buyer));
        var head = await house.Server.Get<LogDesk>().HeadOf(bat.ToString(), (await house.Server.Get<LogDesk>().Newest(Ct))!, Ct);
        await house.Server.Do(bat, new VoidLabel(issued[0].N, LabelEndGround.Lost, null) { By = owner });
        await house.Server.Published(bat);
        await buyer.GetByLabel("Text of data/head").FillAsync(head);
        await buyer.GetByRole(AriaRole.Button, new() { Name = "Compare it with the ledger now" }).ClickAsync();
        await Assertions.Expect(buyer.Locator("#now")).ToContainTextAsync("1 entry later than this dossier");
    }
}
