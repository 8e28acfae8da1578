using System.Net;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Tests.Web;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>From a question to the bat sheet, and what stands on it.</summary>
public sealed class BatPageTests(House house) : IClassFixture<House>
{
    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_registrar_finds_a_bat_by_a_word_and_by_its_number_and_reads_what_stands_against_it()
    {
        if (house.Browser is null) return;
        var (_, number) = await Told("Quillfeather tape over scored handle");
        await house.Server.Indexed();
        var page = await house.As(AccountRole.Registrar);
        await page.GotoAsync("/find");
        await page.GetByLabel("Number or words").FillAsync("quillfeather");
        await page.GetByLabel("Number or words").PressAsync("Enter");
        var row = page.GetByRole(AriaRole.Row).Filter(new() { HasText = number });
        foreach (var said in new[] { "Quillfeather tape over scored handle", "Orla Penhallow", "Northgate Rooms", "1 hold" }) Assert.Contains(said, await row.InnerTextAsync(), StringComparison.Ordinal);
        await row.GetByRole(AriaRole.Link).ClickAsync();
        Assert.EndsWith("/bats/" + number, page.Url, StringComparison.Ordinal);
        Assert.Contains("A hold stands against: sell", await page.Locator(".alert").First.InnerTextAsync(), StringComparison.Ordinal);
        await page.GotoAsync("/find?q=" + number.ToLowerInvariant().Insert(4, "-"));
        Assert.EndsWith("/bats/" + number, page.Url, StringComparison.Ordinal);
        await page.GotoAsync("/find?standing=WithHolds");
        Assert.Equal(1, await page.GetByRole(AriaRole.Row).Filter(new() { HasText = number }).CountAsync());
        await page.GotoAsync("/find?standing=InTransit");
        Assert.Equal(0, await page.GetByRole(AriaRole.Row).Filter(new() { HasText = number }).CountAsync());
    }

    [Fact]
    public async Task A_report_of_1950_is_first_as_it_happened_and_last_as_recorded()
    {
        if (house.Browser is null) return;
        var (_, number) = await Told("a bat told of late");
        var page = await house.As(AccountRole.Auditor);
        await page.GotoAsync($"/bats/{number}");
        Assert.Equal("e-3", await page.Locator(".timeline > li").First.GetAttributeAsync("id"));
        await page.GetByRole(AriaRole.Link, new() { Name = "as recorded" }).ClickAsync();
        Assert.Equal(["e-1", "e-2", "e-3", "e-4"], await Lines(page));
    }

    [Fact]
    public async Task A_correction_is_read_corrected_but_as_recorded_in_the_words_of_then()
    {
        if (house.Browser is null) return;
        var (bat, number) = await Told("a bat with a slip of the pen");
        var told = (await house.Server.Get<Server.Recording.Histories>().Open(bat, Ct))[2];
        await house.Server.Do(bat, new CorrectEntry(CorrectionKind.Clerical, told.Reference, "/body/until", new OpenValue([], [], [], null, Edtf.Parse("1971")), null, null, null, null) { By = house.Party });
        var page = await house.As(AccountRole.Registrar);
        await page.GotoAsync($"/bats/{number}?full=true");
        Assert.Contains("1971", await page.Locator("#e-3").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Contains("corrected by 5", await page.Locator("#e-3").InnerTextAsync(), StringComparison.Ordinal);
        await page.GotoAsync($"/bats/{number}?full=true&read=recorded");
        Assert.Contains("1961", await page.Locator("#e-3").InnerTextAsync(), StringComparison.Ordinal);
        Assert.DoesNotContain("1971", await page.Locator("#e-3").InnerTextAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_ledger_is_asked_what_it_knew_on_a_day_and_says_when_it_knew_nothing()
    {
        if (house.Browser is null) return;
        var (_, number) = await Told("a bat asked about");
        var page = await house.As(AccountRole.Registrar);
        await page.GotoAsync($"/bats/{number}");
        await page.GetByLabel("What did the ledger know on").FillAsync("2001-01-01");
        await page.GetByRole(AriaRole.Button, new() { Name = "Show that day" }).ClickAsync();
        Assert.Contains("knew nothing of this bat", await page.GetByRole(AriaRole.Status).First.InnerTextAsync(), StringComparison.Ordinal);
        await page.GotoAsync($"/bats/{number}?asof=yesterday");
        Assert.Contains("cannot be read", await page.GetByRole(AriaRole.Status).First.InnerTextAsync(), StringComparison.Ordinal);
        await page.GotoAsync($"/bats/{number}?asof={DateTime.UtcNow:yyyy-MM-dd}");
        Assert.Contains("As the ledger knew it", await page.GetByRole(AriaRole.Status).First.InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(4, (await Lines(page)).Count);
    }

    [Fact]
    public async Task Every_published_entry_hands_out_its_proof()
    {
        if (house.Browser is null) return;
        var (bat, number) = await Told("a bat with proofs");
        await house.Server.Published(bat);
        var page = await house.As(AccountRole.Registrar);
        await page.GotoAsync($"/bats/{number}");
        var address = await page.Locator("#e-2 a[href^='/log/proofs/']").GetAttributeAsync("href");
        using var proof = await house.Server.Http.GetAsync(address, Ct);
        Assert.Equal(HttpStatusCode.OK, proof.StatusCode);
        Assert.StartsWith("c2sp.org/tlog-proof@v1", await proof.Content.ReadAsStringAsync(Ct), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Findings_stand_on_the_map_and_in_the_list_and_dated_facts_as_bars()
    {
        if (house.Browser is null) return;
        var (_, number) = await Examined();
        var page = await house.As(AccountRole.Examiner);
        await page.GotoAsync($"/bats/{number}");
        Assert.Equal(2, await page.Locator("svg [class=mark]").CountAsync());
        Assert.Contains("handle crack", await page.Locator("#surface ~ .wide table").First.InnerTextAsync(), StringComparison.OrdinalIgnoreCase);
        Assert.Contains("1955 to 1960", await page.Locator("table").Filter(new() { HasText = "Left for the bat alone" }).InnerTextAsync(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(ColorScheme.Light, 1280)]
    [InlineData(ColorScheme.Dark, 390)]
    public async Task Sheet_and_search_put_no_barrier_in_anybodys_way_and_nothing_runs_off_the_side(ColorScheme scheme, int width)
    {
        if (house.Browser is null) return;
        var (_, number) = await Examined();
        var page = await house.As(AccountRole.Registrar, options: new() { ColorScheme = scheme, ViewportSize = new() { Width = width, Height = 900 } });
        foreach (var address in new[] { $"/bats/{number}", "/find", "/find?standing=WithUs" })
        {
            await page.GotoAsync(address);
            Assert.Empty(await House.Barriers(page));
            Assert.Equal(width, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        }
    }

    [Fact]
    public async Task What_was_typed_is_text_and_never_markup()
    {
        if (house.Browser is null) return;
        var (_, number) = await Told("<b>bold</b><script>document.title='taken'</script>");
        var page = await house.As(AccountRole.Registrar);
        await page.GotoAsync($"/bats/{number}");
        Assert.Contains("<b>bold</b>", await page.Locator(".lead").InnerTextAsync(), StringComparison.Ordinal);
        Assert.StartsWith("Bat ", await page.TitleAsync(), StringComparison.Ordinal);
        await page.GotoAsync("/find?q=%3Cscript%3Edocument.title%3D'taken'%3C/script%3E");
        Assert.StartsWith("Find", await page.TitleAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Who_has_no_role_for_it_sees_neither_sheet_nor_search_and_an_unknown_number_is_not_there()
    {
        var (_, number) = await Told("a bat that is nobody's business");
        foreach (var address in new[] { $"/bats/{number}", "/find?q=bat" })
        {
            using HttpRequestMessage asked = new(HttpMethod.Get, address);
            asked.Headers.Add(TestSignIn.Header, "");
            using var closed = await house.Server.Http.SendAsync(asked, Ct);
            Assert.DoesNotContain("nobody's business", await closed.Content.ReadAsStringAsync(Ct), StringComparison.Ordinal);
            Assert.True(closed.StatusCode is HttpStatusCode.Unauthorized or HttpStatusCode.Redirect or HttpStatusCode.Found, closed.StatusCode.ToString());
        }
        if (house.Browser is null) return;
        Assert.Equal(403, (await (await house.As(AccountRole.Keeper)).GotoAsync($"/bats/{number}"))!.Status);
        Assert.Equal(404, (await (await house.As(AccountRole.Owner, await house.Server.Party("Nell Astor"))).GotoAsync($"/bats/{number}"))!.Status);
        Assert.Equal(403, (await (await house.As(AccountRole.Owner)).GotoAsync("/find?q=bat"))!.Status);
        Assert.Equal(404, (await (await house.As(AccountRole.Registrar)).GotoAsync("/bats/00000000"))!.Status);
    }

    [Fact]
    public async Task An_owner_reads_the_sheet_of_their_own_bat()
    {
        if (house.Browser is null) return;
        var owner = await house.Server.Party("Wim Ashdown");
        var bat = await house.Server.Bat(owner, description: "an owner's own bat");
        var page = await house.As(AccountRole.Owner, owner);
        await page.GotoAsync($"/bats/{bat.Id}");
        Assert.Contains("an owner's own bat", await page.Locator(".lead").InnerTextAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_examiner_whose_examination_is_open_is_sent_back_to_it_and_reads_no_opinion_here()
    {
        if (house.Browser is null) return;
        var (bat, number) = await Told("a bat on the bench");
        await house.Server.Do(bat, new ReportOpinion(house.Party, null, null, PropositionLevel.UsedInPlay, ReportedConclusion.Supports, AssertionBasis.Document, FeeTerms.NotStated, null, null, null, "swaying words", null) { By = house.Party });
        var examiner = await house.Server.Party("Tamsin Rook");
        await house.Server.Do(bat, new OpenExamination(examiner, house.Party, ExaminedFrom.BatInHand, Blinding.FixedOrder, [], ProposedBy.NobodyYet, null, [], null, null, null) { By = examiner });
        var page = await house.As(AccountRole.Examiner, examiner);
        await page.GotoAsync($"/bats/{number}?full=true");
        Assert.DoesNotContain("swaying words", await page.ContentAsync(), StringComparison.Ordinal);
        Assert.EndsWith("/examinations/6", await page.GetByRole(AriaRole.Link, new() { Name = "Go on with the examination" }).GetAttributeAsync("href"), StringComparison.Ordinal);
        page = await house.As(AccountRole.Registrar);
        await page.GotoAsync($"/bats/{number}?full=true");
        Assert.Contains("swaying words", await page.ContentAsync(), StringComparison.Ordinal);
    }

    static async Task<IReadOnlyList<string?>> Lines(IPage page) => await page.Locator(".timeline > li").EvaluateAllAsync<string[]>("all => all.map(e => e.id)");

    /// <summary>Registered, held, told of in 1950 by a report, received paper of another gap.</summary>
    async Task<(StreamName Bat, string Number)> Told(string description)
    {
        var owner = await house.Server.Party("Orla Penhallow");
        var bat = await house.Server.Bat(owner, house.Party, description);
        await house.Server.Do(bat, new PlaceHold([HoldScope.Sell], HoldGround.TitleDispute, Edtf.Parse("2099"), null, null) { By = house.Party });
        await house.Server.Do(bat, new ReportAcquisition(
            AcquisitionKind.Gift, owner, null, await house.Server.Party("Cass Umber"), Edtf.Parse("1950"), Edtf.Parse("1961"), AssertionBasis.Letter, null, null, null, null, null)
        { By = house.Party, Occurred = Edtf.Parse("1950") });
        await house.Server.Do(bat, new StateGap(GapIn.Custody, Edtf.Parse("1961"), Edtf.Parse("1980"), null, null, null) { By = house.Party });
        return (bat, bat.Id[..7] + Transparency.CheckCharacter.Compute(bat.Id.AsSpan(0, 7)));
    }

    async Task<(StreamName Bat, string Number)> Examined()
    {
        var (bat, number) = await Told("an examined bat");
        var examiner = await house.Server.Party("Ines Calloway");
        await house.Server.Do(bat, new OpenExamination(examiner, house.Party, ExaminedFrom.BatInHand, Blinding.FixedOrder, [], ProposedBy.NobodyYet, null, [], null, null, null) { By = examiner });
        await house.Server.Do(bat, new LockFindings(5,
        [
            new(FindingKind.HandleCrack, Presence.Seen, Confidence.High, SeenBy.Eye, Place("9", "12", "350", "15")),
            new(FindingKind.PineTar, Presence.Seen, Confidence.Moderate, SeenBy.Eye, new(SurfaceShape.Band, SurfaceDatum.Brand, Inches("6"), Inches("17"), null, null)),
            new(FindingKind.Chip, Presence.Absent, Confidence.High, SeenBy.Eye),
        ], [], [.. ViewSeen.Fixed.Select(v => new ViewSeen(v, ViewAnswer.Seen))], null)
        { By = examiner });
        await house.Server.Do(bat, new RecordDating(
            [new(BatMoment.Made, [Edtf.Parse("1955/1960")], BoundStrength.Hard, DatingScope.Bat, DatingBasis.MakersMark), new(BatMoment.Used, [Edtf.Parse("1955/1960")], BoundStrength.Hard, DatingScope.Bat, DatingBasis.FactoryRecord)],
            null, null, null)
        { By = house.Party });
        return (bat, number);
    }

    static Quantity Inches(string number) => Quantity.Parse(number, "[in_i]");

    static SurfacePlace Place(string from, string to, string start, string end) => new(
        SurfaceShape.Patch, SurfaceDatum.Brand, Inches(from), Inches(to), Quantity.Parse(start, "deg"), Quantity.Parse(end, "deg"));
}
