using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Labels;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Tests.Photographs;
using Custody.Server.Tests.Web;
using Custody.Transparency;

namespace Custody.Server.Tests.Labels;

/// <summary>The page behind a label's address, over real HTTP.</summary>
public sealed partial class LabelPageTests(HouseForTests shared) : IClassFixture<HouseForTests>, IAsyncLifetime
{
    readonly RunningHouse house = shared.House;
    PartyId rooms = null!, owner = null!;
    StreamName bat = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        rooms = await house.Party("Northgate Rooms", PartyKind.House);
        owner = await house.Party("Umbelline Quarterjack", address: "Fenchurchby");
        bat = await house.Bat(owner, rooms, description: "a Zyrconblack bat", place: "Hollowaybarn");
    }

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    [Fact]
    public async Task A_label_in_force_shows_what_to_compare_and_what_is_public_and_nothing_private()
    {
        var picture = await Picture();
        await house.Do(bat, new RecordBaseline(
            [.. Enum.GetValues<FixedView>().Select(v => new ViewPictured(v, picture))], Quantity.Parse("34.0", "[in_i]"), Quantity.Parse("32.1", "[oz_av]"),
            [new(Quantity.Parse("3", "[in_i]"), Quantity.Parse("3.1", "[in_i]"))], null, "measured in Hollowaybarn")
        { By = rooms });
        var (_, token) = await Issue();
        var page = await Read($"/L/{token}");
        Assert.Contains("in force", page, StringComparison.Ordinal);
        Assert.Contains("34.0 in (864 mm)", page, StringComparison.Ordinal);
        Assert.Contains("32.1 oz (910 g)", page, StringComparison.Ordinal);
        Assert.Contains("girth 3 in (76 mm) from the knob", page, StringComparison.Ordinal);
        Assert.Equal(4, Regex.Count(page, "<img "));
        Assert.Equal(HttpStatusCode.OK, (await house.Http.GetAsync(Regex.Match(page, "src=\"([^\"]+)\"").Groups[1].Value, Ct)).StatusCode);
        Assert.Contains("Northgate Rooms", page, StringComparison.Ordinal);
        foreach (var said in new[] { Custody.Ledger.LabelStanding.Caution, Custody.Ledger.LabelPage.OwnWord, Custody.Ledger.Cautions.Said[0] })
            Assert.Contains(WebUtility.HtmlEncode(said), page, StringComparison.Ordinal);
        Private.Needles kept = new("Quarterjack", "Umbelline", "Fenchurchby", "Zyrconblack", "Hollowaybarn", "wintergreen");
        Assert.Empty(kept.In(Encoding.UTF8.GetBytes(page)));
    }

    [Fact]
    public async Task Small_letters_hyphens_and_look_alikes_find_the_same_page()
    {
        var (_, token) = await Issue();
        foreach (var typed in new[] { token.ToLowerInvariant(), token.Insert(5, "-").Insert(11, "-"), token.Replace('0', 'o').Replace('1', 'l'), token.Replace('1', 'I') })
            Assert.Contains("in force", await Read($"/L/{typed}"), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("77777777777777777777777770", HttpStatusCode.NotFound, "not issued here")]
    [InlineData("77777777777777777777777771", HttpStatusCode.BadRequest, "not what stands on a label")]
    [InlineData("7777", HttpStatusCode.BadRequest, "not what stands on a label")]
    [InlineData("7777777777777777777777777U", HttpStatusCode.BadRequest, "not what stands on a label")]
    [InlineData("%3Cscript%3Ealert(1)%3C%2Fscript%3E", HttpStatusCode.BadRequest, "not what stands on a label")]
    public async Task What_is_no_label_of_this_ledger_is_said_in_plain_words(string token, HttpStatusCode status, string said)
    {
        var page = await Read($"/L/{token}", status);
        Assert.Contains(said, page, StringComparison.Ordinal);
        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task The_first_bits_of_an_entry_that_issued_no_label_are_no_label()
    {
        await house.Published(bat);
        var hash = (await house.Get<Histories>().Open(bat, Ct))[0].Hash;
        Assert.Contains("not issued here", await Read($"/L/{LabelToken.Of(hash)}", HttpStatusCode.NotFound), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_voided_a_replaced_and_a_reported_label_each_say_so_since_when_and_what_to_do()
    {
        var today = DateTimeOffset.UtcNow.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
        var (first, voided) = await Issue();
        await house.Do(bat, new VoidLabel(first, LabelEndGround.Lost, "left in Hollowaybarn") { By = rooms });
        Assert.Contains($"voided {today}", await Read($"/L/{voided}"), StringComparison.Ordinal);
        var (second, replaced) = await Issue();
        await house.Do(bat, new ReplaceLabel(second, LabelEndGround.Damaged, LabelForm.Card, LabelPlace.TiedTag, "wintergreen.example", null, null) { By = rooms });
        var page = await Read($"/L/{replaced}");
        Assert.Contains($"replaced by label 3 on {today}", page, StringComparison.Ordinal);
        var (third, reported) = await Issue();
        await house.Do(bat, new ReportLabel(third, LabelNotice.OnAnotherBat, null, null, "Hollowaybarn") { By = rooms });
        await house.Do(bat, new ReportLabel(third, LabelNotice.Copied, null, null, null) { By = rooms });
        page = await Read($"/L/{reported}");
        Assert.Contains("in force, but reported", page, StringComparison.Ordinal);
        Assert.Contains($"Reported on another bat on {today}", page, StringComparison.Ordinal);
        Assert.Contains($"Reported copied on {today}", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Hollowaybarn", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_open_claim_shows_with_its_day_and_without_its_text()
    {
        var (_, token) = await Issue();
        var claimant = await house.Party("Thessaly Wrackham");
        await house.Do(bat, new RaiseClaim(ClaimKind.Title, claimant, AssertionBasis.HoldersWord, "Pawnticketed", null) { By = claimant });
        var page = await Read($"/L/{token}");
        Assert.Matches(@"An open claim \(title\) since \d{4}-\d\d-\d\d\.", page);
        Assert.Contains("Title, as asserted, is disputed.", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Pawnticketed", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_hammer_price_stands_on_the_page_exactly_where_the_terms_of_the_sale_say_so()
    {
        var buyer = await house.Party("Thessaly Wrackham");
        foreach (var prices in Enum.GetValues<PricePublication>())
        {
            var sale = Recording.LedgerForTests.Fresh("sale");
            await house.Do(sale, new AnnounceSale(new SaleTerms(
                SaleForm.Saleroom, null, TitlePassing.OnFullPayment, prices, PremiumRule.None, null, 30, "Spring sale", "Hollowaybarn", null, null, null))
            { By = rooms });
            var terms = (await house.Get<Histories>().Open(sale, Ct))[0].Reference;
            bat = await house.Bat(owner, rooms);
            await house.Do(bat, new ConsignBat(owner, rooms, Attestation.SignedPaper, [], Money.Parse("6200.00", "USD"), null, null, null) { By = rooms });
            await house.Do(bat, new OfferLot(terms, "10", 1, rooms, [], [], "A bat", "It was used.", Money.Parse("5000.00", "USD"), null, null) { By = rooms });
            await house.Do(bat, new SellBat(
                SaleChannel.Lot, 3, terms, rooms, buyer, TitlePassing.OnFullPayment, Money.Parse("8123.00", "USD"), null, null, Money.Parse("9747.60", "USD"), null, "paddle 88", null, null)
            { By = rooms });
            var (_, token) = await Issue();
            var page = await Read($"/L/{token}");
            Assert.Equal(prices == PricePublication.Published, page.Contains("8123.00", StringComparison.Ordinal));
            foreach (var kept in new[] { "6200", "5000", "9747", "paddle", "Wrackham", "It was used", "Spring sale" }) Assert.DoesNotContain(kept, page, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Whoever_gave_an_opinion_is_named_unless_they_are_something_else_to_the_bat()
    {
        var (giver, keeper) = (await house.Party("Perriwinkle Bench", PartyKind.Examiner), await house.Party("Obscuratrix Bench", PartyKind.Examiner));
        foreach (var bench in new[] { giver, keeper })
            await house.Do(bat, new ReportOpinion(bench, null, null, PropositionLevel.UsedInPlay, ReportedConclusion.Supports, AssertionBasis.Document, FeeTerms.NotStated, null, null, null, "Pawnticketed", null) { By = rooms });
        await house.Do(bat, new ReleaseBat(keeper, HandoverPurpose.Return, Attestation.Account, null, null, null, null, null, null, null, null) { By = rooms });
        var (_, token) = await Issue();
        var page = await Read($"/L/{token}");
        Assert.Contains("Perriwinkle Bench", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Obscuratrix", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Pawnticketed", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Nothing_runs_nothing_is_remembered_nothing_is_fetched_from_elsewhere_and_nothing_is_written_down()
    {
        var (_, token) = await Issue();
        await house.Indexed();
        var before = (await Rows(), Files());
        HttpResponseMessage answer = null!;
        for (var i = 0; i < 3; i++) answer = await house.Http.GetAsync($"/L/{token}", Ct);
        Assert.False(answer.Headers.Contains("Set-Cookie"));
        Assert.Equal("no-referrer", answer.Headers.GetValues("Referrer-Policy").Single());
        Assert.Equal("nosniff", answer.Headers.GetValues("X-Content-Type-Options").Single());
        Assert.True(answer.Headers.CacheControl!.NoStore);
        var policy = answer.Headers.GetValues("Content-Security-Policy").Single();
        Assert.StartsWith("default-src 'none'; style-src 'sha256-", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
        var page = await answer.Content.ReadAsStringAsync(Ct);
        Assert.DoesNotMatch(@"(?i)<script|\son\w+\s*=|javascript:|<iframe|<object|<link|@import|url\(|style=""", page);
        Assert.All(Addresses().Matches(page).Select(m => m.Groups[1].Value), a => Assert.StartsWith("/", a, StringComparison.Ordinal));
        var style = Regex.Match(page, "<style>(.*?)</style>", RegexOptions.Singleline).Groups[1].Value;
        Assert.Contains(Convert.ToBase64String(System.Security.Cryptography.SHA256.HashData(Encoding.UTF8.GetBytes(style))), policy, StringComparison.Ordinal);
        Assert.Equal(before, (await Rows(), Files()));
        Assert.DoesNotContain(token, house.Logged, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_dossiers_head_is_compared_with_the_ledger_now()
    {
        var (_, token) = await Issue();
        await house.Published(bat);
        var log = house.Get<LogDesk>();
        var head = await log.HeadOf(bat.ToString(), (await log.Newest(Ct))!, Ct);
        Assert.Contains("No entry is later than this dossier.", await Compare(token, head), StringComparison.Ordinal);
        for (var i = 0; i < 3; i++) await house.Do(bat, new MoveBat(MoveReason.Storage, null, "Hollowaybarn", null) { By = rooms });
        await house.Published(bat);
        Assert.Contains("3 entries later than this dossier", await Compare(token, head), StringComparison.Ordinal);
        Assert.Contains("3 entries later than this dossier", await Compare(token, head.ReplaceLineEndings("\r\n"), file: true), StringComparison.Ordinal);
        var other = await house.Bat(owner, rooms);
        await house.Published(other);
        Assert.Contains("of another bat", await Compare(token, await log.HeadOf(other.ToString(), (await log.Newest(Ct))!, Ct)), StringComparison.Ordinal);
        using var stranger = SignerKey.FromSeed("other.example", new byte[32]);
        var there = Head.Read(SignedNote.Parse(Encoding.UTF8.GetBytes(head))) with { Origin = "other.example" };
        Assert.Contains("of another ledger", await Compare(token, Encoding.UTF8.GetString(there.Sign(stranger).ToArray())), StringComparison.Ordinal);
        var forged = Head.Read(SignedNote.Parse(Encoding.UTF8.GetBytes(head))) with { Entry = Hash.Of("another entry"u8) };
        using var forger = SignerKey.FromSeed("ledger.example", new byte[32]);
        Assert.Contains("one of the two was changed", await Compare(token, Encoding.UTF8.GetString(forged.Sign(forger).ToArray())), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("not a head")]
    [InlineData("<script>alert(1)</script>")]
    [InlineData("\u0000\u0001")]
    public async Task What_is_no_head_is_said_to_be_none(string given)
    {
        var (_, token) = await Issue();
        var page = await Compare(token, given);
        Assert.Contains("<h2>Your dossier</h2>", page, StringComparison.Ordinal);
        Assert.DoesNotContain("<script", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_form_that_is_too_large_or_no_form_is_answered_in_words()
    {
        var (_, token) = await Issue();
        Assert.Contains("Nothing was given", await Compare(token, new string('x', 200_000)), StringComparison.Ordinal);
        var answer = await house.Http.PostAsync($"/L/{token}/dossier", new StringContent("{}", Encoding.UTF8, "application/json"), Ct);
        Assert.Contains("Nothing was given", await answer.Content.ReadAsStringAsync(Ct), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_buyer_makes_a_challenge_from_the_page_and_sees_how_it_stands()
    {
        var (_, token) = await Issue();
        var made = await (await house.Http.PostAsync($"/L/{token}/challenge", new FormUrlEncodedContent([new("words", "Pat & <Sons>")]), Ct)).Content.ReadAsStringAsync(Ct);
        Assert.Contains("Pat &amp; &lt;Sons&gt;", made, StringComparison.Ordinal);
        var code = Regex.Match(made, "/challenge/([0-9A-Z]{26})").Groups[1].Value;
        Assert.Contains("Not answered yet.", await Read($"/challenge/{code}"), StringComparison.Ordinal);
        await house.Get<Custody.Server.Challenges.ChallengeDesk>().Answer(owner, code, bat.ToString(), "pat & <sons>", Ct);
        Assert.Contains("proves nothing more", await Read($"/challenge/{code}"), StringComparison.Ordinal);
        Assert.Contains("No challenge has this code", await Read("/challenge/77777777777777777777777770", HttpStatusCode.NotFound), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.BadRequest, (await house.Http.PostAsync($"/L/{token}/challenge", new FormUrlEncodedContent([new("words", " ")]), Ct)).StatusCode);
    }

    async Task<(long N, string Token)> Issue()
    {
        var entry = (await house.Do(bat, new IssueLabel(LabelForm.Card, LabelPlace.TiedTag, "wintergreen.example", null) { By = rooms }))[0];
        await house.Published(bat);
        return (entry.N, LabelToken.Of(entry.Hash));
    }

    async Task<string> Read(string path, HttpStatusCode expected = HttpStatusCode.OK)
    {
        var answer = await house.Http.GetAsync(path, Ct);
        var text = await answer.Content.ReadAsStringAsync(Ct);
        Assert.True(answer.StatusCode == expected, $"{(int)answer.StatusCode} {text}");
        Assert.Equal("text/html", answer.Content.Headers.ContentType!.MediaType);
        return text;
    }

    async Task<string> Compare(string token, string head, bool file = false)
    {
        using MultipartFormDataContent form = file
            ? new() { { new ByteArrayContent(Encoding.UTF8.GetBytes(head)), "file", "head" } }
            : new() { { new StringContent(head), "head" } };
        return await (await house.Http.PostAsync($"/L/{token}/dossier", form, Ct)).Content.ReadAsStringAsync(Ct);
    }

    async Task<PictureHash> Picture()
    {
        using ByteArrayContent content = new(SamplePictures.CameraJpeg());
        content.Headers.ContentType = new("image/jpeg");
        return new((string)(await RunningHouse.Answer(await house.Http.PostAsync("/api/photographs", content, Ct), HttpStatusCode.Created))["released"]!);
    }

    /// <summary>How many rows every table holds.</summary>
    async Task<string> Rows() => (string)(await house.Scalar(
        $"select string_agg(tablename || (xpath('/row/c/text()', query_to_xml(format('select count(*) as c from %I.%I', schemaname, tablename), false, true, '')))[1]::text, ' ' order by tablename) from pg_tables where schemaname = '{house.Place.Schema}'"))!;

    string Files() => string.Join('\n', Directory.EnumerateFiles(house.Place.DataFolder, "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal));

    [GeneratedRegex("(?:src|href|action)=\"([^\"]+)\"")]
    private static partial Regex Addresses();
}
