using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Recording;
using Custody.Server.Tests.Web;
using Custody.Transparency;

namespace Custody.Server.Tests.Dossiers;

/// <summary>An owner chooses what a dossier shows, over the real API.</summary>
public sealed class ChoosingTests(HouseForTests shared) : IClassFixture<HouseForTests>
{
    readonly RunningHouse house = shared.House;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task What_was_previewed_is_what_the_dossier_holds_and_only_handing_it_out_is_recorded()
    {
        var bat = await house.Bat(await house.Party("Ada Quill"), place: "a back room");
        const string choice = """{"reveal":["1/description","1/parties/p1/name"],"for":"a buyer"}""";
        var issued = (long)(await Issued())!;
        var preview = await RunningHouse.Answer(await house.Send($"/api/bats/{bat.Id}/dossier-preview", choice));
        Assert.Equal(issued, await Issued());
        var answer = await house.Send($"/api/bats/{bat.Id}/dossier", choice);
        Assert.Equal("application/zip", answer.Content.Headers.ContentType!.MediaType);
        Assert.True(answer.Headers.CacheControl!.NoStore);
        var files = Files(await answer.Content.ReadAsByteArrayAsync(Ct));
        Assert.Equal((string)preview["page"]!, Encoding.UTF8.GetString(files["data/history.html"]));
        Assert.True(JsonNode.DeepEquals(preview["summary"], JsonNode.Parse(files["data/summary.json"])));
        Assert.True(JsonNode.DeepEquals(preview["disclosures"], JsonNode.Parse(files["data/disclosures.json"])));
        Assert.Equal(["1/description", "1/parties/p1/name"], preview["fields"]!.AsArray().Where(f => (bool)f!["chosen"]!).Select(f => (string)f!["path"]!));
        Assert.Contains("Ada Quill", (string)preview["page"]!, StringComparison.Ordinal);
        Assert.DoesNotContain("a back room", (string)preview["page"]!, StringComparison.Ordinal);
        Assert.Equal(issued + 1, await Issued());
        // What was shown in plain stands nowhere once it was sent.
        var handing = house.Place.Folder("handing-out");
        for (var i = 0; i < 100 && Directory.EnumerateFiles(handing, "*", SearchOption.AllDirectories).Any(); i++) await Task.Delay(20, Ct);
        Assert.Empty(Directory.EnumerateFiles(handing, "*", SearchOption.AllDirectories));
    }

    [Fact]
    public async Task Every_withheld_value_is_listed_for_its_owner_and_the_answer_is_kept_by_nobody()
    {
        var bat = await house.Bat(await house.Party("Bram Oake"), place: "a back room");
        var answer = await house.Http.GetAsync($"/api/bats/{bat.Id}/withheld", Ct);
        Assert.True(answer.Headers.CacheControl!.NoStore);
        var fields = (await RunningHouse.Answer(answer)).AsArray().ToDictionary(f => (string)f!["path"]!, f => (string)f!["value"]!);
        Assert.Equal(["1/description", "1/parties/p1/name", "1/parties/p1/partyStream", "1/place"], fields.Keys.Order(StringComparer.Ordinal));
        Assert.Equal("a back room", fields["1/place"]);
    }

    [Theory]
    [InlineData("""{"reveal":["descripton"]}""", HttpStatusCode.UnprocessableEntity, "reveal-unknown")]
    [InlineData("""{"reveal":["1/name"]}""", HttpStatusCode.UnprocessableEntity, "reveal-unknown")]
    [InlineData("""{"reveal":"all"}""", HttpStatusCode.BadRequest, "command-unreadable")]
    [InlineData("""{}""", HttpStatusCode.BadRequest, "command-unreadable")]
    [InlineData("""{"reveal":[],"reveal":["all"]}""", HttpStatusCode.BadRequest, "json-duplicate-name")]
    [InlineData("""{"reveal":[],"more":1}""", HttpStatusCode.BadRequest, "command-unreadable")]
    [InlineData("nothing", HttpStatusCode.BadRequest, "json-syntax")]
    public async Task A_choice_that_cannot_be_read_or_fits_nothing_is_refused_by_name(string body, HttpStatusCode status, string code)
    {
        var bat = await house.Bat(await house.Party("Cora Finch"));
        foreach (var doorway in new[] { "dossier-preview", "dossier" })
            Assert.Equal(code, await RunningHouse.Code(await house.Send($"/api/bats/{bat.Id}/{doorway}", body), status));
    }

    [Fact]
    public async Task A_paper_goes_with_the_dossier_that_shows_its_hash_and_with_no_other()
    {
        var owner = await house.Party("Dell Moor");
        var bat = await house.Bat(owner);
        using ByteArrayContent paper = new("Received with thanks."u8.ToArray());
        paper.Headers.ContentType = new("text/plain");
        var hash = (string)(await RunningHouse.Answer(await house.Http.PostAsync("/api/documents", paper, Ct), HttpStatusCode.Created))["hash"]!;
        await house.Do(bat, new ReleaseBat(await house.Party("Enno Pike"), HandoverPurpose.Return, Attestation.SignedPaper, null, null, null, null, null, null, null, hash) { By = owner });
        var path = $"data/documents/{Hash.Parse(hash).Hex}.txt";
        Assert.DoesNotContain(path, (await Dossier(bat, "description")).Keys);
        var shown = await Dossier(bat, "2/paperHash");
        Assert.Equal("Received with thanks.", Encoding.UTF8.GetString(shown[path]));
    }

    [Fact]
    public async Task Nothing_of_someone_whose_data_are_restricted_can_be_shown()
    {
        var owner = await house.Party("Fenn Lark");
        var bat = await house.Bat(owner);
        await house.Do(owner.Stream, new RequestErasure(ErasureGround.AskedByTheParty, null, null) { By = owner });
        await house.Do(owner.Stream, new RestrictParty([PresentRole.TitleHolder], null) { By = PartyId.Ledger });
        var fields = (await RunningHouse.Answer(await house.Http.GetAsync($"/api/bats/{bat.Id}/withheld", Ct))).AsArray().Select(f => (string)f!["path"]!);
        Assert.Equal(["1/description"], fields);
        Assert.DoesNotContain("Fenn Lark", Encoding.UTF8.GetString((await Dossier(bat, "all"))["data/history.html"]), StringComparison.Ordinal);
        Assert.Equal("reveal-unknown", await RunningHouse.Code(await house.Send($"/api/bats/{bat.Id}/dossier", """{"reveal":["name"]}"""), HttpStatusCode.UnprocessableEntity));
    }

    [Fact]
    public async Task Whom_a_dossier_was_for_cannot_be_tried_out_on_the_table_of_answers()
    {
        var bat = await house.Bat(await house.Party("Gus Vale"));
        Assert.True((await house.Send($"/api/bats/{bat.Id}/dossier", """{"reveal":[],"for":"Hal Wren"}""")).IsSuccessStatusCode);
        var head = (await house.Get<Histories>().Open(bat, Ct))[^1].Hash;
        var bare = Hash.Of(Encoding.UTF8.GetBytes($"{head}\n\nHal Wren\n{PartyId.Ledger}"));
        var keys = (string)(await house.Scalar($"select string_agg(key, ' ') from {house.Place.Schema}.custody_answer"))!;
        Assert.Contains("dossier/", keys, StringComparison.Ordinal);
        Assert.DoesNotContain(bare.Text, keys, StringComparison.Ordinal);
        Assert.DoesNotContain(bare.Hex, keys, StringComparison.Ordinal);
    }

    async Task<SortedDictionary<string, byte[]>> Dossier(StreamName bat, string reveal)
    {
        var answer = await house.Send($"/api/bats/{bat.Id}/dossier", $$"""{"reveal":["{{reveal}}"]}""");
        Assert.True(answer.IsSuccessStatusCode, await answer.Content.ReadAsStringAsync(Ct));
        var zip = await answer.Content.ReadAsByteArrayAsync(Ct);
        var report = Checker.Run(DossierReader.Read(new MemoryStream(zip)), new Expected([], null, DateTimeOffset.UtcNow));
        Assert.DoesNotContain(report.Checks, c => c.Result == CheckResult.Failed);
        return Files(zip);
    }

    static SortedDictionary<string, byte[]> Files(byte[] zip)
    {
        var bag = Bag.In(BagZipReader.Open(new MemoryStream(zip)));
        return new(bag.Paths.Where(p => p.StartsWith("data/", StringComparison.Ordinal)).ToDictionary(p => p, p => bag.ReadAll(p, 1 << 24)), StringComparer.Ordinal);
    }

    async Task<object?> Issued() => await house.Scalar($"select count(*) from {house.Place.Schema}.mt_streams where id like 'dossier/%'");
}
