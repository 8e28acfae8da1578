using System.Net;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Recording;
using Custody.Server.Tests.Web;

namespace Custody.Server.Tests.Grading;

/// <summary>An examination kept blind, an opinion prepared, given and computed again, a lot's text checked: over the real application.</summary>
public sealed class OpinionTests(HouseForTests shared) : IClassFixture<HouseForTests>, IAsyncLifetime
{
    readonly RunningHouse running = shared.House;
    PartyId house = null!, examiner = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        (house, examiner) = (await running.Party("Northgate Rooms", PartyKind.House), await running.Party("Ada Fenn"));
    }

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    async Task<(StreamName Bat, Reference Rubric)> Examined()
    {
        var (bat, rubric) = (Tests.Recording.LedgerForTests.Fresh("bat"), Tests.Recording.LedgerForTests.Fresh("rubric"));
        var published = (await running.Do(rubric, new PublishRubric(
            1, house, [new(SupportWord.Weak, Quantity.Parse("2", "1"))], [new(UseWord.Slight, FindingKind.BallMark, 1)], [new(ConditionWord.Good, FindingKind.HandleCrack, 0)], [],
            new PicturesOnlyLimit(SupportWord.Weak, FromPictures.MayBeGraded, FromPictures.NotAssessable), "Words", "A rubric.", null)
        { By = house }))[0];
        await running.Do(bat, new RegisterBat(
            "G" + bat.Id[..7], Arrival.BroughtIn, examiner, house, AssertionBasis.HouseRecord, [new(examiner, Fraction.Whole)], AssertionBasis.HoldersWord, "a bat", null, null)
        { By = house });
        await running.Do(bat, new ReportOpinion(
            house, null, null, PropositionLevel.UsedInPlay, ReportedConclusion.Supports, AssertionBasis.Letter, FeeTerms.NotStated, null, null, null, "an old letter", null)
        { By = house });
        await running.Do(bat, new OpenExamination(examiner, house, ExaminedFrom.BatInHand, Blinding.FixedOrder, [], ProposedBy.NobodyYet, null, [], null, null, null) { By = examiner });
        return (bat, new(null, rubric, published.N, published.Hash));
    }

    Task<IReadOnlyList<EntryAnswer>> Lock(StreamName bat) => running.Do(bat, new LockFindings(
        3, [new(FindingKind.BallMark, Presence.Seen, Confidence.High, SeenBy.RakingLight, null, Quantity.Parse("3", "1")), new(FindingKind.HandleCrack, Presence.Absent, Confidence.High, SeenBy.Eye)],
        [], [.. ViewSeen.Fixed.Select(v => new ViewSeen(v, ViewAnswer.Seen))], null)
    { By = examiner });

    Task<HttpResponseMessage> Post(string path, string json) => running.Http.PostAsync(path, new StringContent(json, Encoding.UTF8, "application/json"), Ct);

    async Task<JsonNode> Get(string path) => await RunningHouse.Answer(await running.Http.GetAsync(path, Ct));

    [Fact]
    public async Task An_open_examination_does_not_get_the_prior_opinion()
    {
        var (bat, _) = await Examined();
        var blind = await Get($"/api/bats/{bat.Id}/examinations/3/blind");
        Assert.Equal([2L], blind["view"]!["heldBack"]!.AsArray().Select(h => (long)h!["entry"]!));
        Assert.Equal([1L, 3], blind["entries"]!.AsArray().Select(e => (long)e!["n"]!));
        Assert.DoesNotContain("an old letter", blind.ToJsonString(), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, (await running.Http.GetAsync($"/api/bats/{bat.Id}/examinations/2/blind", Ct)).StatusCode);
    }

    [Fact]
    public async Task An_opinion_is_prepared_given_and_comes_out_again()
    {
        var (bat, rubric) = await Examined();
        await Lock(bat);
        await running.Do(bat, new CloseExamination(3, ExaminationOutcome.Complete, null) { By = examiner });
        Weighing stated = new(PropositionLevel.UsedInPlay, Alternative.NotUsedInPlay, SupportFor.Proposition, SupportWord.Weak, null, null, null, null);
        OpinionBasis basis = new([3], [stated], null, null, null, rubric, PropositionLevel.UsedInPlay, WithSeasons: false);
        var prepared = await RunningHouse.Answer(await Post($"/api/bats/{bat.Id}/prepare-opinion", JsonSerializer.Serialize(new { basis }, JsonText.Options)));
        var grade = prepared["grade"]!["grade"].Deserialize<Grade>(JsonText.Options)!;
        Assert.Equal(new Grade(SupportFor.Proposition, SupportWord.Weak, UseWord.Slight, ConditionWord.Good), grade);
        var given = (await running.Do(bat, new GiveComputedOpinion(
            house, [examiner], null, [stated], null, null, new GradeGiven(PropositionLevel.UsedInPlay, grade, grade), rubric, null, new OpinionGrounds([3]), null, null, null, house, null,
            FeeTerms.NoFee, [], "used in play", null)
        { By = examiner }))[0];
        var again = await Get($"/api/bats/{bat.Id}/opinions/{given.N}/recompute?today=true");
        Assert.True((bool)again["holds"]!);
        Assert.Equal(1, (int)again["computed"]!);
        Assert.Equal(HttpStatusCode.NotFound, (await running.Http.GetAsync($"/api/bats/{bat.Id}/opinions/1/recompute", Ct)).StatusCode);
        var review = await Get($"/api/bats/{bat.Id}/review");
        Assert.Equal([2L, given.N], review["opinions"]!.AsArray().Select(o => (long)o!["entry"]!));
        Assert.True((bool)(await Get($"/api/bats/{bat.Id}/examinations"))[0]!["orderKept"]!);
    }

    [Fact]
    public async Task A_lots_text_is_checked_and_what_cannot_be_checked_is_refused_by_name()
    {
        var (bat, _) = await Examined();
        await Lock(bat);
        var path = $"/api/bats/{bat.Id}/check-text";
        var check = await RunningHouse.Answer(await Post(path, """{"claims":[{"claim":"preparation","mark":"ballMark"},{"claim":"preparation","mark":"handleCrack"},{"claim":"maker","name":"Corrow"}]}"""));
        Assert.Equal(["supported", "contradicted", "notRecorded"], check["claims"]!.AsArray().Select(c => (string)c!["verdict"]!));
        foreach (var (body, code) in new[]
        {
            ("""{"claims":[]}""", "no-claims"), ("""{"claims":[{"claim":"maker"}]}""", "claim-incomplete"), ("""{"claims":[{"claim":"colour"}]}""", "command-unreadable"),
        })
        {
            var refused = await Post(path, body);
            Assert.Equal(HttpStatusCode.BadRequest, refused.StatusCode);
            Assert.Equal(code, (string)JsonNode.Parse(await refused.Content.ReadAsStringAsync(Ct))!["code"]!);
        }
        Assert.Equal(HttpStatusCode.NotFound, (await Post("/api/bats/00000000/check-text", """{"claims":[{"claim":"untreated"}]}""")).StatusCode);
    }
}
