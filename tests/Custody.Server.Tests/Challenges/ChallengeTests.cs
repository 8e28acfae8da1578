using System.Net;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Server.Challenges;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;
using Custody.Server.Tests.Web;

namespace Custody.Server.Tests.Challenges;

/// <summary>A buyer's challenge and a holder's answer, over the real API.</summary>
public sealed class ChallengeTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    const string Words = "Perriwinkle at the counter";
    readonly FakeClock clock = new();
    RunningHouse house = null!;
    PartyId owner = null!;
    StreamName bat = null!;
    string secret = "";

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        house = await RunningHouse.Start(postgres.ConnectionString, Ct, clock);
        owner = await house.Party("Ada Quill");
        bat = await house.Bat(owner);
        secret = (await house.Get<HolderSecrets>().Issue(owner, Ct))!;
    }

    public ValueTask DisposeAsync() => house.DisposeAsync();

    async Task<string> Ask(StreamName? about = null) => (string)(await RunningHouse.Answer(
        await house.Send($"/api/bats/{(about ?? bat).Id}/challenge", $$"""{"words":"{{Words}}"}"""), HttpStatusCode.Created))["code"]!;

    Task<HttpResponseMessage> Answer(string code, string? words = null, StreamName? about = null, PartyId? who = null, string? by = null) => house.Send(
        "/api/challenges/answer", $$"""{"code":"{{code}}","bat":"{{(about ?? bat).Id}}","words":"{{words ?? Words}}","party":"{{who ?? owner}}","secret":"{{by ?? secret}}"}""");

    async Task<JsonNode> Look(string code) => await RunningHouse.Answer(await house.Http.GetAsync($"/api/challenges/{code}", Ct));

    [Fact]
    public async Task The_holder_answers_and_the_buyer_sees_it()
    {
        var code = await Ask();
        Assert.Equal("open", (string)(await Look(code))["standing"]!);
        clock.Now = clock.Now.AddMinutes(10);
        await RunningHouse.Answer(await Answer(code.ToLowerInvariant().Insert(5, "-")));
        var seen = await Look(code);
        Assert.Equal("answered", (string)seen["standing"]!);
        Assert.Contains("who answers for the account of a holder of title", (string)seen["says"]!, StringComparison.Ordinal);
        Assert.Equal("2024-03-01T09:10:00+00:00", (string)seen["answered"]!);
    }

    [Fact]
    public async Task Replayed_late_for_another_bat_or_with_other_words_it_is_refused_by_name()
    {
        var other = await house.Bat(owner);
        var code = await Ask();
        Assert.Equal("challenge-other-bat", await RunningHouse.Code(await Answer(code, about: other), HttpStatusCode.UnprocessableEntity));
        Assert.Equal("challenge-other-words", await RunningHouse.Code(await Answer(code, "other words"), HttpStatusCode.UnprocessableEntity));
        Assert.Equal("challenge-unknown", await RunningHouse.Code(await Answer(new string('7', 25) + "0"), HttpStatusCode.UnprocessableEntity));
        await RunningHouse.Answer(await Answer(code));
        Assert.Equal("challenge-answered", await RunningHouse.Code(await Answer(code), HttpStatusCode.UnprocessableEntity));
        var late = await Ask();
        clock.Now = clock.Now.AddHours(1);
        Assert.Equal("challenge-expired", await RunningHouse.Code(await Answer(late), HttpStatusCode.UnprocessableEntity));
        Assert.Equal("expired", (string)(await Look(late))["standing"]!);
    }

    [Fact]
    public async Task Of_answers_raced_against_each_other_exactly_one_counts()
    {
        var code = await Ask();
        var answers = await Task.WhenAll(Enumerable.Range(0, 12).Select(_ => Answer(code)));
        Assert.Single(answers, a => a.IsSuccessStatusCode);
        foreach (var lost in answers.Where(a => !a.IsSuccessStatusCode)) Assert.Equal("challenge-answered", await RunningHouse.Code(lost, HttpStatusCode.UnprocessableEntity));
    }

    [Fact]
    public async Task A_stranger_a_wrong_secret_an_ended_one_and_an_erased_party_answer_for_nobody()
    {
        var stranger = await house.Party("Enno Pike");
        var theirs = (await house.Get<HolderSecrets>().Issue(stranger, Ct))!;
        var code = await Ask();
        Assert.Equal("holder-unknown", await RunningHouse.Code(await Answer(code, by: theirs), HttpStatusCode.UnprocessableEntity));
        Assert.Equal("challenge-not-holder", await RunningHouse.Code(await Answer(code, who: stranger, by: theirs), HttpStatusCode.UnprocessableEntity));
        Assert.Equal("holder-unknown", await RunningHouse.Code(await Answer(code, by: "nothing like it"), HttpStatusCode.UnprocessableEntity));
        var first = secret;
        secret = (await house.Get<HolderSecrets>().Issue(owner, Ct))!;
        Assert.Equal("holder-unknown", await RunningHouse.Code(await Answer(code, by: first), HttpStatusCode.UnprocessableEntity));
        await house.Do(stranger.Stream, new RequestErasure(ErasureGround.AskedByTheParty, null, null) { By = stranger });
        await house.Do(stranger.Stream, new EraseParty([], null) { By = PartyId.Ledger });
        Assert.Equal("holder-unknown", await RunningHouse.Code(await Answer(code, who: stranger, by: theirs), HttpStatusCode.UnprocessableEntity));
        Assert.Null(await house.Get<HolderSecrets>().Issue(stranger, Ct));
        Assert.True(await house.Get<HolderSecrets>().End(owner, Ct));
        Assert.Equal("holder-unknown", await RunningHouse.Code(await Answer(code), HttpStatusCode.UnprocessableEntity));
        Assert.Equal("open", (string)(await Look(code))["standing"]!);
    }

    [Fact]
    public async Task Neither_words_nor_code_nor_secret_are_logged_or_kept()
    {
        var code = await Ask();
        await RunningHouse.Answer(await Answer(code));
        Assert.DoesNotContain("Perriwinkle", house.Logged, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain(secret, house.Logged, StringComparison.Ordinal);
        Assert.DoesNotContain(code, house.Logged, StringComparison.Ordinal);
        foreach (var table in new[] { "custody_challenge", "custody_holder_secret" })
        {
            var rows = (string)(await house.Scalar($"select string_agg(t::text, ' ') from {house.Place.Schema}.{table} as t"))!;
            Assert.NotEmpty(rows);
            foreach (var word in new[] { "Perriwinkle", code, secret, owner.ToString() })
                Assert.Empty(new Private.Needles(word).In(System.Text.Encoding.UTF8.GetBytes(rows)));
        }
    }

    [Fact]
    public async Task A_stranger_cannot_fill_the_table()
    {
        var answers = new List<HttpResponseMessage>();
        for (var i = 0; i < 51; i++) answers.Add(await house.Send($"/api/bats/{bat.Id}/challenge", $$"""{"words":"{{Words}}"}"""));
        Assert.Equal("challenge-too-many", await RunningHouse.Code(answers[^1], HttpStatusCode.UnprocessableEntity));
        clock.Now = clock.Now.AddHours(1);
        await Ask();
        clock.Now = clock.Now.AddDays(91);
        await Ask();
        Assert.Equal(1L, await house.Scalar($"select count(*) from {house.Place.Schema}.custody_challenge"));
    }

    [Theory]
    [InlineData("""{"words":""}""", HttpStatusCode.UnprocessableEntity, "challenge-words")]
    [InlineData("""{"word":"x"}""", HttpStatusCode.BadRequest, "command-unreadable")]
    [InlineData("""{"words":"a\u202eb"}""", HttpStatusCode.BadRequest, "text-bidi-control")]
    public async Task A_challenge_that_cannot_be_asked_is_refused_by_name(string body, HttpStatusCode status, string code) =>
        Assert.Equal(code, await RunningHouse.Code(await house.Send($"/api/bats/{bat.Id}/challenge", body), status));
}
