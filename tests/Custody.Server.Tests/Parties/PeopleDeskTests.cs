using System.Net;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Finding;
using Custody.Server.Parties;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Web;

namespace Custody.Server.Tests.Parties;

/// <summary>People are found by the beginnings of their names, chosen in forms, and recorded where nobody fits.</summary>
public sealed class PeopleDeskTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    RunningHouse house = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    PeopleDesk Desk => house.Get<PeopleDesk>();

    public async ValueTask InitializeAsync() => house = await RunningHouse.Start(postgres.ConnectionString, Ct);

    public async ValueTask DisposeAsync() => await house.DisposeAsync();

    async Task<string[]> Names(string typed) => [.. (await Desk.Find(typed, Ct)).People.Select(p => p.Name)];

    [Fact]
    public async Task A_name_is_found_by_the_beginnings_of_its_words_now_and_as_it_was_and_not_once_erased()
    {
        var ada = await house.Party("Ada Fenwick-Órla", address: "12 Mill Lane");
        await house.Party("Adam Fenn");
        await house.Bat(ada, description: "A bat that Adelaide Fenton described");
        await house.Indexed();
        Assert.Equal(["Ada Fenwick-Órla", "Adam Fenn"], await Names("fen ad"));
        Assert.Equal(["Ada Fenwick-Órla"], await Names("FENW orl"));
        Assert.Empty(await Names("enwick"));
        // Only names are looked at: neither addresses nor what is said of bats.
        Assert.Empty(await Names("mill"));
        Assert.Empty(await Names("adelaide"));
        Assert.Empty(await Names("a"));
        Assert.Equal("12 Mill Lane", (await Desk.Known(ada, Ct))!.Address);

        await house.Do(ada.Stream, new RenameParty(PartyChange.NewName, "Ada Marlow", null, null, null) { By = ada });
        await house.Indexed();
        Assert.Equal(["Ada Marlow"], await Names("marl"));
        Assert.Equal(["Ada Marlow"], await Names("fenwick"));

        house.Get<Custody.Server.Private.KeyRing>().Destroy(ada.ToString());
        await house.Get<SearchIndex>().Forget(ada.ToString(), Ct);
        Assert.Equal(["Adam Fenn"], await Names("ad"));
        Assert.Equal(0L, await house.Scalar($"select count(*) from {house.Place.Schema}.custody_search where stream = '{ada.Stream}' and key_id <> ''"));
    }

    [Fact]
    public async Task A_form_means_whoever_is_chosen_or_alone_has_the_whole_name_and_never_somebody_else_than_was_typed()
    {
        var (bo, other, us) = (await house.Party("Bo Larkin"), await house.Party("Bo Larkin"), await house.Party("Northgate Rooms", PartyKind.House));
        var cy = await house.Party("Cy Marsh");
        await house.Indexed();
        async Task<(PartyId?, string?)> Read(string? name, PartyId? chosen = null) =>
            await Desk.Read(new() { Name = name, Party = chosen?.ToString() }, us, "k", Ct) is var (party, refused) ? (party, refused?.Code) : default;
        Assert.Equal((null, null), await Read(" "));
        Assert.Equal((cy, null), await Read("cy marsh"));
        Assert.Equal((null, "person-not-chosen"), await Read("cy mar"));
        Assert.Equal((null, "person-not-chosen"), await Read("Bo Larkin"));
        Assert.Equal((other, null), await Read("bo", other));
        Assert.Equal((bo, null), await Read(null, bo));
        Assert.Equal((null, "person-unknown"), await Read("Dee Rowan"));
        Assert.Equal((null, "person-other"), await Read("Cy", us));
        Assert.Equal((null, "person-unknown"), await Read(null, new(StreamName.Parse("party/" + new string('0', 26)))));
    }

    [Fact]
    public async Task Somebody_new_is_recorded_once_however_often_the_form_is_sent_and_not_before_the_rest_of_it_is_fit()
    {
        PersonTyped typed = new() { Name = "Eve Sorrel", Party = PersonTyped.New, Kind = nameof(PartyKind.Club) };
        Assert.Equal((null, null), await Desk.Read(typed, null, null, Ct));
        var (first, none) = await Desk.Read(typed, null, "sent/Input.To", Ct);
        Assert.Null(none);
        Assert.Equal(first!.ToString(), typed.Party);
        typed.Party = PersonTyped.New;
        Assert.Equal((first, null), await Desk.Read(typed, null, "sent/Input.To", Ct));
        Assert.Equal(PartyKind.Club, (await Desk.Known(first, Ct))!.Kind);
        Assert.Equal("person-nameless", (await Desk.Read(new() { Party = PersonTyped.New }, null, "x", Ct)).Refused!.Code);
        Assert.Equal("kind-unknown", (await Desk.Read(new() { Name = "Eve", Party = PersonTyped.New, Kind = "99" }, null, "y", Ct)).Refused!.Code);
        Assert.StartsWith("text-", (await Desk.Read(new() { Name = "Eve\u202Elevel", Party = PersonTyped.New }, null, "z", Ct)).Refused!.Code, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_typed_into_a_form_stands_in_no_address_and_no_log()
    {
        await house.Party("Quillona Brackenridge");
        await house.Indexed();
        using HttpRequestMessage asked = new(HttpMethod.Get, "/people/new");
        asked.Headers.Add(TestSignIn.Header, TestSignIn.Of(null, AccountRole.Registrar));
        using var page = await house.Http.SendAsync(asked, Ct);
        var html = await page.Content.ReadAsStringAsync(Ct);
        var token = html.Split("name=\"__RequestVerificationToken\" type=\"hidden\" value=\"")[^1].Split('"')[0];
        using HttpRequestMessage sent = new(HttpMethod.Post, "/people/new?handler=Suggest&field=Input.To")
        {
            Content = new FormUrlEncodedContent([new("__RequestVerificationToken", token), new("Input.To.Name", "quillona br")]),
        };
        sent.Headers.Add(TestSignIn.Header, TestSignIn.Of(null, AccountRole.Registrar));
        sent.Headers.Add("Cookie", string.Join("; ", page.Headers.GetValues("Set-Cookie").Select(c => c.Split(';')[0])));
        using var answer = await house.Http.SendAsync(sent, Ct);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Contains("Quillona Brackenridge", await answer.Content.ReadAsStringAsync(Ct), StringComparison.Ordinal);
        Assert.DoesNotContain("quillona", house.Logged, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("brackenridge", house.Logged, StringComparison.OrdinalIgnoreCase);
    }
}
