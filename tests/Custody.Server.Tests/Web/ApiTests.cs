using System.Net;
using System.Net.Http.Json;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Custody.Server.Finding;
using Custody.Server.Recording;
using Custody.Server.Web;
using Microsoft.AspNetCore.Routing;
using Wolverine.Http;

namespace Custody.Server.Tests.Web;

/// <summary>The API as a program uses it: each test on parties and bats of its own.</summary>
public sealed class ApiTests(HouseForTests shared) : IClassFixture<HouseForTests>
{
    const string Nobody = "party/00000000000000000000000000";
    readonly RunningHouse running = shared.House;
    readonly string folder = shared.House.Place.DataFolder;
    readonly HttpClient http = shared.House.Http;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task An_act_is_recorded_read_back_and_found_by_name()
    {
        var owner = await Party("Ada Quill");
        var house = await Party("Northgate Rooms");
        var bat = await Bat(owner);
        var (status, entries) = await Post($"/api/{bat.Replace("bat/", "bats/")}/release-bat", Release(owner, house));
        Assert.Equal(HttpStatusCode.Created, status);
        Assert.Equal("BatReleased", (string)entries[0]!["type"]!);
        var sheet = await Get($"/api/{Path(bat)}");
        Assert.Equal("inTransit", (string)sheet["custody"]!["state"]!);
        Assert.Equal("Ada Quill", (string)sheet["title"]!["holders"]![0]!["who"]!["name"]!);
        Assert.Equal(bat, (string)(await Get($"/api/bats/{sheet["shortNumber"]}"))["stream"]!);
        Assert.Single((await Get("/api/open-work")).AsArray(), w => (string)w!["bat"]!["stream"]! == bat);
        Assert.Single((await Get($"/api/parties/{owner[6..]}/holdings"))["bats"]!.AsArray());
        await WaitForSearch();
        Assert.Contains(bat, (await Get("/api/search?q=quill%20taped%20released"))["bats"]!.AsArray().Select(b => (string)b!["stream"]!));
        Assert.Empty((await Get("/api/search?q=quill%20nothing"))["bats"]!.AsArray());
    }

    [Fact]
    public async Task The_index_of_words_holds_no_name_in_the_clear()
    {
        var owner = await Party("Zebulon Tarn");
        await Bat(owner);
        await WaitForSearch();
        var place = running.Get<LedgerPlace>();
        await using var command = running.Get<Npgsql.NpgsqlDataSource>().CreateCommand($"select string_agg(words::text, ' ') from {place.Schema}.custody_search");
        var words = (string)(await command.ExecuteScalarAsync(Ct))!;
        Assert.Contains("obroughtin", words, StringComparison.Ordinal);
        Assert.DoesNotContain("zebulon", words, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("taped", words, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task A_history_can_be_asked_as_it_was_known_then()
    {
        var bat = await Bat(await Party("Bram Oake"));
        Assert.Equal(HttpStatusCode.NotFound, (await http.GetAsync($"/api/{Path(bat)}?recorded=2001-01-01", Ct)).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await http.GetAsync($"/api/{Path(bat)}?recorded=2999-01-01", Ct)).StatusCode);
        Assert.Equal("time-unreadable", await Code(await http.GetAsync($"/api/{Path(bat)}?recorded=yesterday", Ct), HttpStatusCode.BadRequest));
        Assert.Equal(HttpStatusCode.OK, (await http.GetAsync($"/api/{Path(bat)}/on/1961", Ct)).StatusCode);
        Assert.Equal(HttpStatusCode.BadRequest, (await http.GetAsync($"/api/{Path(bat)}/on/1961-13", Ct)).StatusCode);
    }

    [Fact]
    public async Task The_bench_answers_for_every_bat_with_methods_and_cautions()
    {
        var owner = await Party("Odo Fell");
        var bat = Path(await Bat(owner));
        var (status, _) = await Post($"/api/{bat}/record-dating", JsonNode.Parse(
            $$"""{"by":"{{owner}}","facts":[{"moment":"made","within":["1950/1955"],"strength":"hard","scope":"bat","basis":"makersMark","text":"a book of marks"}]}""")!);
        Assert.Equal(HttpStatusCode.Created, status);
        var seasons = await Get($"/api/{bat}/seasons");
        Assert.Equal(("seasons/1", 1950), ((string)seasons["report"]!["method"]!, (int)seasons["report"]!["batAlone"]!["hard"]![0]!["first"]!));
        Assert.Equal("1950-01-01", (string)seasons["report"]!["facts"]![0]!["days"]![0]!["first"]!);
        foreach (var reading in new[] { "layers", "comparisons", "condition", "body" })
            Assert.NotEmpty((await Get($"/api/{bat}/{reading}"))["cautions"]!.AsArray());
        Assert.Equal("unknown-entry", await Code(await http.GetAsync($"/api/{bat}/condition/1/2", Ct), HttpStatusCode.NotFound));
    }

    [Fact]
    public async Task A_misspelt_or_doubled_question_is_refused_and_not_answered_as_another_one()
    {
        var bat = Path(await Bat(await Party("Lev Marl")));
        Assert.Equal("query-unknown", await Code(await http.GetAsync($"/api/{bat}?recored=2001-01-01", Ct), HttpStatusCode.BadRequest));
        Assert.Equal("query-unknown", await Code(await http.GetAsync($"/api/{bat}?recorded=2001-01-01&recorded=2999-01-01", Ct), HttpStatusCode.BadRequest));
        Assert.Equal("query-unknown", await Code(await http.GetAsync($"/api/{bat}?id=2001", Ct), HttpStatusCode.BadRequest));
        Assert.Equal("time-unreadable", await Code(await http.GetAsync($"/api/{bat}?recorded=2024-03-01T09:00:00", Ct), HttpStatusCode.BadRequest));
        Assert.Equal("unknown-bat", await Code(await http.GetAsync("/api/bats/7777777", Ct), HttpStatusCode.NotFound));
        Assert.Equal("not-known-then", await Code(await http.GetAsync($"/api/{bat}?recorded=2001-01-01", Ct), HttpStatusCode.NotFound));
        Assert.Equal("unknown-entry", await Code(await http.GetAsync($"/api/{bat}/ripple/9", Ct), HttpStatusCode.NotFound));
    }

    [Fact]
    public async Task Entries_are_read_as_they_stand_in_the_log_with_what_the_house_is_shown()
    {
        var bat = await Bat(await Party("Mab Teal"));
        var entry = (await Get($"/api/{Path(bat)}/entries")).AsArray().Single()!;
        var stored = (await running.Get<Histories>().Load(Custody.Bats.StreamName.Parse(bat), Ct)).Bytes[0];
        Assert.Equal(Encoding.UTF8.GetString(stored), entry["entry"]!.ToJsonString());
        var shown = entry["shown"]!.AsArray().ToDictionary(v => $"{v!["pointer"]}/{v["name"]}", v => (string)v!["value"]!);
        Assert.Equal("a bat with a taped handle", shown["/body/description"]);
        Assert.Equal("Mab Teal", shown["/body/parties/p1/name"]);
        Assert.Equal("Mab Teal", (string)entry["by"]!["name"]!);
    }

    [Fact]
    public async Task The_tag_of_a_reading_is_what_an_act_on_it_must_match()
    {
        var owner = await Party("Nan Roe");
        var bat = await Bat(owner);
        var read = await http.GetAsync($"/api/{Path(bat)}", Ct);
        Assert.True(read.Headers.CacheControl!.NoStore);
        async Task<HttpStatusCode> MoveMatching()
        {
            using HttpRequestMessage act = new(HttpMethod.Post, $"/api/{Path(bat)}/move-bat") { Content = Body($$"""{"by":"{{owner}}","reason":"storage","toPlace":"a shelf"}""") };
            act.Headers.TryAddWithoutValidation("If-Match", read.Headers.ETag!.Tag);
            return (await http.SendAsync(act, Ct)).StatusCode;
        }
        Assert.Equal(HttpStatusCode.Created, await MoveMatching());
        Assert.Equal(HttpStatusCode.Conflict, await MoveMatching());
    }

    [Fact]
    public async Task What_is_asked_of_a_party_or_sale_that_is_not_there_is_not_found_and_leaves_no_key()
    {
        var keys = System.IO.Path.Combine(folder, "keys", "values");
        var before = Directory.GetFiles(keys).Length;
        var nobody = new string('7', 25) + "0";
        foreach (var path in new[] { $"parties/{nobody}/holdings", $"examiners/{nobody}/record", $"sales/{nobody}/results", "parties/x/holdings" })
            Assert.Equal("unknown-stream", await Code(await http.GetAsync($"/api/{path}", Ct), HttpStatusCode.NotFound));
        Assert.Equal(before, Directory.GetFiles(keys).Length);
    }

    [Theory]
    [InlineData("title")]
    [InlineData("custody")]
    [InlineData("opinions")]
    [InlineData("lots")]
    [InlineData("open-work")]
    [InlineData("ripple/1")]
    public async Task Every_reading_of_a_bat_answers(string reading) =>
        Assert.Equal(HttpStatusCode.OK, (await http.GetAsync($"/api/{Path(await Bat(await Party("Cora Finch")))}/{reading}", Ct)).StatusCode);

    [Fact]
    public async Task A_rule_that_refuses_names_itself()
    {
        var (owner, stranger) = (await Party("Dell Moor"), await Party("Enno Pike"));
        var bat = await Bat(owner);
        Assert.Equal("not-custodian", await Code(await Send($"/api/{Path(bat)}/release-bat", Release(stranger, owner).ToJsonString()), HttpStatusCode.UnprocessableEntity));
    }

    [Fact]
    public async Task A_stream_that_moved_on_is_a_conflict_and_an_unknown_one_is_not_found()
    {
        var owner = await Party("Fenn Lark");
        var bat = await Bat(owner);
        using HttpRequestMessage late = new(HttpMethod.Post, $"/api/{Path(bat)}/release-bat") { Content = Body(Release(owner, await Party("Gus Vale")).ToJsonString()) };
        late.Headers.TryAddWithoutValidation("If-Match", "\"7\"");
        Assert.Equal("conflict", await Code(await http.SendAsync(late, Ct), HttpStatusCode.Conflict));
        Assert.Equal("unknown-stream", await Code(await Send($"/api/bats/{new string('7', 25)}0/release-bat", Release(owner, owner).ToJsonString()), HttpStatusCode.NotFound));
    }

    [Fact]
    public async Task A_repeated_submission_gets_the_first_answer_and_begins_no_second_stream()
    {
        var command = $$"""{"by":"{{Nobody}}","kind":"person","name":"Hal Wren"}""";
        async Task<(HttpStatusCode, string)> Once()
        {
            using HttpRequestMessage message = new(HttpMethod.Post, "/api/parties") { Content = Body(command) };
            message.Headers.Add("Idempotency-Key", "hal-wren");
            var answer = await http.SendAsync(message, Ct);
            return (answer.StatusCode, await answer.Content.ReadAsStringAsync(Ct));
        }
        var (first, second) = (await Once(), await Once());
        Assert.Equal((HttpStatusCode.Created, HttpStatusCode.OK), (first.Item1, second.Item1));
        Assert.Equal(first.Item2, second.Item2);
    }

    [Theory]
    [InlineData("""{"by":"PARTY","kind":"person","name":"\ud800"}""", "json-lone-surrogate")]
    [InlineData("""{"by":"PARTY","kind":"person","name":"a\u0000b"}""", "text-nul")]
    [InlineData("""{"by":"PARTY","kind":"person","name":"a\u202eb"}""", "text-bidi-control")]
    [InlineData("""{"by":"PARTY","kind":"person","name":"a\u200bb"}""", "text-zero-width")]
    [InlineData("""{"by":"PARTY","kind":"person","kind":"person","name":"a"}""", "json-duplicate-name")]
    [InlineData("""{"by":"PARTY","kind":"person","name":"a","occurred":"2015-02-29"}""", "edtf-impossible-date")]
    [InlineData("""{"by":"PARTY","kind":"person"}""", "command-unreadable")]
    [InlineData("""{"by":"PARTY","kind":"person","name":"a","more":1}""", "command-unreadable")]
    [InlineData("not json", "json-syntax")]
    public async Task Bad_input_is_refused_by_name(string body, string code) =>
        Assert.Equal(code, await Code(await Send("/api/parties", body.Replace("PARTY", Nobody, StringComparison.Ordinal)), HttpStatusCode.BadRequest));

    [Fact]
    public async Task Over_long_text_negative_money_and_the_certain_future_are_refused_by_name()
    {
        Assert.Equal("text-too-long", await Code(await Send("/api/parties", $$"""{"by":"{{Nobody}}","kind":"person","name":"{{new string('a', 4001)}}"}"""), HttpStatusCode.BadRequest));
        var owner = await Party("Ida Fell");
        var bat = await Bat(owner);
        var sale = $$"""{"by":"{{owner}}","channel":"privateTreaty","seller":"{{owner}}","buyer":"{{owner}}","titlePasses":"onSale","hammer":{"amount":"-5.00","currency":"USD"} }""";
        Assert.Equal("money-negative", await Code(await Send($"/api/{Path(bat)}/sell-bat", sale), HttpStatusCode.BadRequest));
        var release = Release(owner, await Party("Jon Vale"));
        release["occurred"] = "2999";
        Assert.Equal("occurred-in-future", await Code(await Send($"/api/{Path(bat)}/release-bat", release.ToJsonString()), HttpStatusCode.UnprocessableEntity));
    }

    [Fact]
    public async Task Photographs_are_received_released_and_made_small_in_the_background()
    {
        using var picture = new SkiaSharp.SKBitmap(600, 400);
        picture.Erase(SkiaSharp.SKColors.SandyBrown);
        using var encoded = picture.Encode(SkiaSharp.SKEncodedImageFormat.Jpeg, 90);
        using ByteArrayContent content = new(encoded.ToArray());
        content.Headers.ContentType = new("image/jpeg");
        var answer = await http.PostAsync("/api/photographs", content, Ct);
        Assert.Equal(HttpStatusCode.Created, answer.StatusCode);
        var released = (string)JsonNode.Parse(await answer.Content.ReadAsStringAsync(Ct))!["released"]!;
        Assert.Equal("image/jpeg", (await http.GetAsync($"/api/photographs/{released}", Ct)).Content.Headers.ContentType!.MediaType);
        var thumbnails = System.IO.Path.Combine(folder, "photographs", "thumbnails");
        for (var i = 0; i < 200 && (!Directory.Exists(thumbnails) || Directory.GetFiles(thumbnails, "*.jpg", SearchOption.AllDirectories).Length < 3); i++) await Task.Delay(100, Ct);
        Assert.Equal(3, Directory.GetFiles(thumbnails, "*.jpg", SearchOption.AllDirectories).Length);
        using ByteArrayContent hostile = new("<svg xmlns='http://www.w3.org/2000/svg'/>"u8.ToArray());
        hostile.Headers.ContentType = new("image/jpeg");
        Assert.Equal(HttpStatusCode.BadRequest, (await http.PostAsync("/api/photographs", hostile, Ct)).StatusCode);
    }

    [Fact]
    public async Task No_compiler_is_loaded_to_answer()
    {
        await Party("Kit Sallow");
        Assert.DoesNotContain(AppDomain.CurrentDomain.GetAssemblies(), a => a.GetName().Name == "Microsoft.CodeAnalysis.CSharp");
    }

    /// <summary>The adaptors are committed: whoever adds, renames or removes an endpoint writes them again.</summary>
    [Fact]
    public void Every_endpoint_has_its_generated_adaptor_and_no_other_is_left()
    {
        static string Name(RouteEndpoint endpoint, string method) =>
            string.Concat($"{method}_{endpoint.RoutePattern.RawText!.Trim('/')}".Where(c => c is not '{' and not '}').Select(c => char.IsLetterOrDigit(c) ? c : '_'));
        var expected = running.Get<EndpointDataSource>().Endpoints.OfType<RouteEndpoint>()
            .Where(e => e.Metadata.GetMetadata<HttpChain>() is not null)
            .SelectMany(e => e.Metadata.GetMetadata<IHttpMethodMetadata>()!.HttpMethods.Select(m => Name(e, m)));
        var generated = typeof(WebHost).Assembly.GetTypes().Where(t => t.IsAssignableTo(typeof(HttpHandler))).Select(t => t.Name);
        Assert.Equal(expected.Order(StringComparer.Ordinal), generated.Order(StringComparer.Ordinal));
    }

    [Fact]
    public async Task The_description_names_every_act_with_its_refusals()
    {
        var document = await Get("/api/openapi.json");
        Assert.Equal("Custody", (string)document["info"]!["title"]!);
        var release = document["paths"]!["/api/bats/{id}/release-bat"]!["post"]!["responses"]!.AsObject();
        Assert.All(["201", "400", "404", "409", "422"], code => Assert.True(release.ContainsKey(code), code));
        Assert.Equal("Take a bat into the ledger: how it came, who presented it, who keeps it, and whose it is said to be.",
            (string)document["paths"]!["/api/bats"]!["post"]!["summary"]!);
        Assert.Equal(["id", "Idempotency-Key", "If-Match"],
            document["paths"]!["/api/bats/{id}/release-bat"]!["post"]!["parameters"]!.AsArray().Select(p => (string)p!["name"]!));
        Assert.Equal("#/components/schemas/BatSheet", Answered("/api/bats/{id}", "get", "200"));
        Assert.Equal("#/components/schemas/PictureAnswered", Answered("/api/photographs", "post", "201"));
        Assert.DoesNotContain("IResult", document.ToJsonString(), StringComparison.Ordinal);
        var schemas = document["components"]!["schemas"]!;
        Assert.All(["Edtf", "PartyId", "PictureHash"], word => Assert.Equal("string", (string)schemas[word]!["type"]!));
        Assert.False(document["paths"]!["/api/photographs"]!["post"]!["responses"]!.AsObject().ContainsKey("404"));
        // What may be left out is not said to be required: the same as the reader of commands has it.
        Assert.Equal(["attestation", "by", "purpose", "to"], schemas["ReleaseBat"]!["required"]!.AsArray().Select(r => (string)r!).Order(StringComparer.Ordinal));
        string Answered(string path, string method, string status) =>
            (string)document["paths"]![path]![method]!["responses"]![status]!["content"]!["application/json"]!["schema"]!["$ref"]!;
        var posts = document["paths"]!.AsObject().Count(p => p.Value!.AsObject().ContainsKey("post"));
        Assert.True(posts > 95, $"{posts} acts");
    }

    [Fact]
    public async Task Health_says_how_the_parts_stand()
    {
        var sequencer = running.Get<Custody.Server.Log.SequencerStanding>();
        // Nobody sequences until this node has taken the lock.
        while (sequencer.State != Custody.Server.Log.SequencerState.Leading) await Task.Delay(20, Ct);
        var health = await Get("/health");
        Assert.Equal(("up", "leading", null), ((string)health["database"]!, (string)health["sequencer"]!, health["reason"]));
        sequencer.Fault = new Custody.Server.Log.LogFault("tree-smaller", "The tree is smaller than the checkpoint.");
        try
        {
            var stopped = await http.GetAsync("/health", Ct);
            Assert.Equal(HttpStatusCode.ServiceUnavailable, stopped.StatusCode);
            Assert.Equal("The tree is smaller than the checkpoint.", (string)JsonNode.Parse(await stopped.Content.ReadAsStringAsync(Ct))!["reason"]!);
        }
        finally
        {
            sequencer.Fault = null;
        }
    }

    async Task<string> Party(string name) => (string)(await Post("/api/parties", JsonNode.Parse($$"""{"by":"{{Nobody}}","kind":"person","name":"{{name}}"}""")!)).Entries[0]!["stream"]!;

    async Task<string> Bat(string owner) => (string)(await Post("/api/bats", JsonNode.Parse(
        $$"""
        {"by":"{{owner}}","arrival":"broughtIn","presentedBy":"{{owner}}","custodian":"{{owner}}","custodyBasis":"holdersWord",
         "title":[{"party":"{{owner}}","share":{"parts":1,"of":1} }],"titleBasis":"holdersWord","description":"a bat with a taped handle"}
        """)!)).Entries[0]!["stream"]!;

    static JsonNode Release(string by, string to) =>
        JsonNode.Parse($$"""{"by":"{{by}}","to":"{{to}}","purpose":"return","attestation":"account"}""")!;

    static string Path(string bat) => bat.Replace("bat/", "bats/", StringComparison.Ordinal);

    static StringContent Body(string json) => new(json, Encoding.UTF8, "application/json");

    Task<HttpResponseMessage> Send(string path, string json) => http.PostAsync(path, Body(json), Ct);

    async Task<(HttpStatusCode Status, JsonArray Entries)> Post(string path, JsonNode command)
    {
        var answer = await Send(path, command.ToJsonString());
        var text = await answer.Content.ReadAsStringAsync(Ct);
        Assert.True(answer.IsSuccessStatusCode, text);
        return (answer.StatusCode, JsonNode.Parse(text)!.AsArray());
    }

    async Task<JsonNode> Get(string path)
    {
        var answer = await http.GetAsync(path, Ct);
        var text = await answer.Content.ReadAsStringAsync(Ct);
        Assert.True(answer.IsSuccessStatusCode, $"{(int)answer.StatusCode} {text}");
        return JsonNode.Parse(text)!;
    }

    static async Task<string> Code(HttpResponseMessage answer, HttpStatusCode expected)
    {
        var text = await answer.Content.ReadAsStringAsync(Ct);
        Assert.True(answer.StatusCode == expected, $"{(int)answer.StatusCode} {text}");
        return (string)JsonNode.Parse(text)!["code"]!;
    }

    async Task WaitForSearch()
    {
        var leaves = running.Get<Custody.Server.Log.Leaves>();
        while (await leaves.Take(Ct) > 0)
        {
        }
        // The server's own follower may be at it: then it is waited for.
        while (await Progress() < await leaves.Size(Ct)) await running.Get<SearchIndex>().Follow(Ct);
    }

    async Task<long> Progress()
    {
        var place = running.Get<LedgerPlace>();
        await using var command = running.Get<Npgsql.NpgsqlDataSource>().CreateCommand($"select coalesce(max(size), 0) from {place.Schema}.custody_search_progress");
        return (long)(await command.ExecuteScalarAsync(Ct))!;
    }
}
