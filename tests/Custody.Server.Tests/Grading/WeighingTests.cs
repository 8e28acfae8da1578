using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Recording;
using Custody.Server.Tests.Web;

namespace Custody.Server.Tests.Grading;

/// <summary>Habits imported, a bat weighed, a source withdrawn: over the real application.</summary>
public sealed class WeighingTests(HouseForTests shared) : IClassFixture<HouseForTests>, IAsyncLifetime
{
    readonly RunningHouse running = shared.House;
    PartyId house = null!;
    StreamName habits = null!, comparison = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        house = await running.Party("Northgate Rooms", PartyKind.House);
        (habits, comparison) = (Tests.Recording.LedgerForTests.Fresh("habits"), Tests.Recording.LedgerForTests.Fresh("comparison"));
        Characteristic tape = new(FindingKind.Tape, 2, Possible.Yes, Possible.Yes, Edtf.Parse("1975"));
        await running.Do(comparison, new OpenComparisonFile(house, CollectedFrom.PublishedPictures, Edtf.Parse("1940/1960"), null) { By = house });
        var defined = (await running.Do(comparison, new DefineComparisonCharacteristic(tape, "Handle tape", ["rings", "spiral"]) { By = house }))[0];
        for (var i = 0; i < 4; i++)
        {
            var other = await running.Party("Hitter " + i);
            await running.Do(comparison, new RecordComparisonOccasion(
                other, OccasionKind.InPlayPicture, null, null, null, Bats.BatEntry.NotABat, [new(2, Observed.Seen, 1 + i % 2)], null, null, null)
            { By = house });
        }
        await running.Do(comparison, new VersionComparisonCounts(null) { By = house });
        await running.Do(habits, new OpenHabitFile(await running.Party("Orrin Vale"), house, Edtf.Parse("1948/1956"), null) { By = house });
        await running.Do(habits, new DefineCharacteristic(tape, new(null, comparison, defined.N, defined.Hash), "Handle tape", ["rings", "spiral"]) { By = house });
    }

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    Task<HttpResponseMessage> Import(string csv) =>
        running.Http.PostAsync($"/api/habit-files/{habits.Id}/import", new StringContent(csv, Encoding.UTF8, "text/csv"), Ct);

    const string Rows = "row,kind,when,copyOf,source,Handle tape\r\n"
        + "a,inPlayPicture,1950-05,,\"A print, signed\",spiral\r\n"
        + "b,inPlayPicture,1951,,wire,2\r\n"
        + "c,inPlayPicture,1951,b,a copy,spiral\r\n"
        + "d,film,,,,absent\r\n"
        + "e,film,tomorrow,,,spiral\r\n"
        + "f,film,1952,e,,spiral\r\n"
        + "g,sketch,1952,,,spiral\r\n"
        + "h,film,1952,,,criss-cross\r\n"
        + "i,film,1953,,,\r\n";

    [Fact]
    public async Task Rows_that_are_permitted_are_recorded_the_others_come_back_with_reasons_and_nothing_is_recorded_twice()
    {
        var first = await RunningHouse.Answer(await Import(Rows));
        Assert.Equal(9, (int)first["rows"]!);
        Assert.Equal(["3:a", "4:b", "5:c", "6:d", "7:i"], first["taken"]!.AsArray().Select((t, i) => $"{t!["entry"]}:{"abcdi"[i]}"));
        Assert.Equal(["row-not-recorded", "word-unknown", "value-unknown"], Codes(first).Skip(1));
        var again = await RunningHouse.Answer(await Import(Rows));
        Assert.All(again["taken"]!.AsArray(), t => Assert.True((bool)t!["again"]!));
        Assert.Equal(Codes(first), Codes(again));

        // The rejects, mended beside their reasons, are imported like any other file.
        var mended = ((string)first["rejectsCsv"]!).Replace("tomorrow", "1953", StringComparison.Ordinal).Replace("sketch", "portrait", StringComparison.Ordinal);
        var third = await RunningHouse.Answer(await Import(mended));
        Assert.Equal(["value-unknown"], Codes(third));
        Assert.Equal(3, third["taken"]!.AsArray().Count);
    }

    static IEnumerable<string> Codes(JsonNode answer) => answer["rejected"]!.AsArray().Select(r => (string)r!["code"]!);

    [Theory]
    [InlineData("kind,Handle tape\r\ncard,\"spiral", "csv-unreadable")]
    [InlineData("kind,Knob\r\ncard,spiral\r\n", "column-unknown")]
    [InlineData("kind,Handle tape,2\r\ncard,spiral,1\r\n", "column-twice")]
    [InlineData("Handle tape\r\nspiral\r\n", "column-missing")]
    [InlineData("kind,Handle tape\r\n", "csv-rows")]
    [InlineData("", "csv-rows")]
    public async Task A_file_that_cannot_be_read_is_refused_as_a_whole(string csv, string code) =>
        Assert.Equal(code, await RunningHouse.Code(await Import(csv), HttpStatusCode.UnprocessableEntity));

    [Fact]
    public async Task A_bat_is_weighed_from_the_ledger_and_a_withdrawn_source_opens_the_opinion_that_rests_on_it()
    {
        await RunningHouse.Answer(await Import(Rows));
        var others = (await OpenWork()).Count;
        var version = (await running.Do(habits, new VersionCounts([2], null) { By = house }))[0];
        var bat = await running.Bat(await running.Party("Ada Quill"), house);
        var examiner = await running.Party("Ottoline Fay");
        await running.Do(bat, new OpenExamination(examiner, house, ExaminedFrom.BatInHand, Blinding.FixedOrder, [], ProposedBy.Consignor, null, [], null, null, null) { By = examiner });
        await running.Do(bat, new LockFindings(2, [new(FindingKind.Tape, Presence.Seen, Confidence.High, SeenBy.Eye)], [], [.. ViewSeen.Fixed.Select(v => new ViewSeen(v, ViewAnswer.Seen))], null) { By = examiner });
        await running.Do(bat, new CloseExamination(2, ExaminationOutcome.Complete, null) { By = examiner });

        var path = $"/api/bats/{bat.Id}/weight?habits={habits.Id}&read=2:2";
        var text = await running.Http.GetStringAsync(path, Ct);
        Assert.Equal(text, await running.Http.GetStringAsync(path, Ct));
        var seen = JsonNode.Parse(text)!["result"]!["characteristics"]![0]!;
        Assert.Equal(("2", "3", "2", "4"), ((string)seen["shown"]!, (string)seen["occasions"]!, (string)seen["others"]!, (string)seen["players"]!));
        Assert.Equal("habit-file-not-said", await RunningHouse.Code(await running.Http.GetAsync($"/api/bats/{bat.Id}/weight", Ct), HttpStatusCode.UnprocessableEntity));
        Assert.Equal("weighing-unreadable", await RunningHouse.Code(await running.Http.GetAsync(path + "&posed=much", Ct), HttpStatusCode.UnprocessableEntity));

        await running.Do(bat, new GiveOpinion(
            house, [examiner], null, [new(PropositionLevel.UsedInPlay, Alternative.NotUsedInPlay, SupportFor.Proposition, SupportWord.Moderate, null, null, null, null)], null, null,
            null, null, new OpinionGrounds([2]), new(null, habits, version.N, version.Hash), null, null, house, house, FeeTerms.NotContingent, [], null, null)
        { By = examiner });
        // Now an entry of the bat cites the file.
        Assert.Equal(text, await running.Http.GetStringAsync($"/api/bats/{bat.Id}/weight?read=2:2", Ct));
        var ripple = (await RunningHouse.Answer(await running.Http.GetAsync($"/api/habit-files/{habits.Id}/ripple/3", Ct))).AsArray();
        Assert.Equal(5, (int)Assert.Single(ripple)!["rests"]![0]!["entry"]!);
        Assert.Equal(others, (await OpenWork()).Count);
        await running.Do(habits, new WithdrawOccasion(3, SourceWithdrawalGround.AnotherPerson, null) { By = house });
        var work = await OpenWork();
        Assert.Equal(others + 1, work.Count);
        Assert.Equal(5, (int)Assert.Single(work, w => (string)w!["bat"]!["stream"]! == bat.ToString())!["work"]!["filesFell"]![0]!["entry"]!);
    }

    // Of every bat in the house: other tests of this class have left some.
    async Task<JsonArray> OpenWork() => (await RunningHouse.Answer(await running.Http.GetAsync("/api/open-work", Ct))).AsArray();

    [Fact]
    public async Task Usual_zones_are_imported_like_occasions_and_compared_with_the_placed_findings_of_a_bat()
    {
        await RunningHouse.Answer(await Import(Rows));
        const string zones = "row,characteristic,value,fromInches,toInches,fromDegrees,toDegrees,occasions,replaces,remarks\r\n"
            + "a,Handle tape,spiral,1,7,,,#3 #4,,from prints\r\n"
            + "b,2,,1,9,350,20,#3,a,\r\n"
            + "c,Knob,,1,9,,,#3,,\r\n"
            + "d,2,criss-cross,1,9,,,#3,,\r\n"
            + "e,2,,,9,,,#3,,\r\n"
            + "f,2,,one,9,,,#3,,\r\n"
            + "g,2,,1,9,,,x,,\r\n"
            + "h,2,,1,9,,,#6,,\r\n";
        var done = await RunningHouse.Answer(await Import(zones));
        Assert.Equal(2, done["taken"]!.AsArray().Count);
        Assert.Equal(["no-such-characteristic", "value-unknown", "place-incomplete", "decimal-form", "row-not-recorded", "zone-not-shown"], Codes(done));
        Assert.Equal("column-unknown", await RunningHouse.Code(await Import("characteristic,occasions,knob\r\n2,#3,1\r\n"), HttpStatusCode.UnprocessableEntity));
        Assert.Equal("column-missing", await RunningHouse.Code(await Import("characteristic,occasions\r\n2,#3\r\n"), HttpStatusCode.UnprocessableEntity));
        await running.Do(habits, new VersionCounts([2], null) { By = house });

        var bat = await running.Bat(await running.Party("Ada Quill"), house);
        var examiner = await running.Party("Ottoline Fay");
        SurfacePlace place = new(SurfaceShape.Band, SurfaceDatum.Brand, Quantity.Parse("2", "[in_i]"), Quantity.Parse("6", "[in_i]"), null, null);
        await running.Do(bat, new OpenExamination(examiner, house, ExaminedFrom.BatInHand, Blinding.FixedOrder, [], ProposedBy.Consignor, null, [], null, null, null) { By = examiner });
        await running.Do(bat, new LockFindings(2, [new(FindingKind.Tape, Presence.Seen, Confidence.High, SeenBy.Eye, place)], [], [.. ViewSeen.Fixed.Select(v => new ViewSeen(v, ViewAnswer.Seen))], null) { By = examiner });
        var read = await RunningHouse.Answer(await running.Http.GetAsync($"/api/bats/{bat.Id}/zones?habits={habits.Id}", Ct));
        // Its girths were never measured, so the zone stands there and nothing is compared.
        Assert.Equal(("shape-not-measured", 1), ((string)read["refused"]!["code"]!, read["zones"]!.AsArray().Count));
        Assert.Equal("habit-file-not-said", await RunningHouse.Code(await running.Http.GetAsync($"/api/bats/{bat.Id}/zones", Ct), HttpStatusCode.UnprocessableEntity));
    }
}
