using System.Security.Cryptography;
using Custody.Bats;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Transparency;
using Npgsql;

namespace Custody.Server.Tests.Recording;

public sealed class RecorderTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    LedgerForTests ledger = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => ledger = await LedgerForTests.Open(postgres);

    public ValueTask DisposeAsync() => ledger.DisposeAsync();

    [Fact]
    public async Task What_is_stored_is_what_is_hashed()
    {
        var bat = await ledger.Bat(await ledger.Party("Ada Quill"));
        await using var command = ledger.Get<NpgsqlDataSource>().CreateCommand($"select bdata, encode(sha256(bdata), 'base64') from {ledger.Place.Schema}.mt_events where stream_id = $1");
        command.Parameters.AddWithValue(bat.ToString());
        await using var reader = await command.ExecuteReaderAsync(Ct);
        Assert.True(await reader.ReadAsync(Ct));
        var bytes = reader.GetFieldValue<byte[]>(0);
        Assert.True(Jcs.IsCanonical(bytes));
        Assert.Equal(Convert.ToBase64String(SHA256.HashData(bytes)), reader.GetString(1));
        Assert.DoesNotContain("Ada Quill", System.Text.Encoding.UTF8.GetString(bytes));
    }

    [Fact]
    public async Task The_house_reads_back_what_the_entry_withholds()
    {
        var owner = await ledger.Party("Bram Oake");
        var bat = await ledger.Bat(owner);
        var first = (await ledger.Get<Histories>().Shown(bat, Ct))[0];
        Assert.Equal("a bat with a taped handle", ((BatRegistered)first.Fact).Description!.Value);
        Assert.Equal("Bram Oake", first.Fact.Parties!["p1"].Name!.Value);
        Assert.Equal(owner.ToString(), first.Fact.Parties["p1"].PartyStream!.Value);
    }

    [Fact]
    public async Task Of_concurrent_commands_on_one_bat_exactly_one_wins_and_the_others_can_retry()
    {
        var owner = await ledger.Party("Cora Finch");
        var house = await ledger.Party("Dell House");
        var bat = await ledger.Bat(owner);
        var outcomes = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => ledger.Recorder.Record(bat, LedgerForTests.Release(owner, house), new Request(), Ct)));
        Assert.Single(outcomes.OfType<Recorded>());
        // A loser that read before the winner wrote gets a conflict; one that read after it, the rule: the bat is in transit.
        Assert.All(outcomes.Where(o => o is not Recorded), o => Assert.True(o is Conflicted || o is Refused { Refusals: [{ Code: "in-transit" }, ..] }));
        Assert.Equal(2, (await ledger.Get<Histories>().Open(bat, Ct)).Count);
    }

    [Fact]
    public async Task A_repeated_submission_has_no_second_effect_and_gets_the_first_answer()
    {
        var owner = await ledger.Party("Enno Pike");
        var house = await ledger.Party("Fenn House");
        var bat = await ledger.Bat(owner);
        var key = new Request("release-of-" + bat);
        var first = Assert.IsType<Recorded>(await ledger.Recorder.Record(bat, LedgerForTests.Release(owner, house), key, Ct));
        var again = Assert.IsType<Recorded>(await ledger.Recorder.Record(bat, LedgerForTests.Release(owner, house), key, Ct));
        Assert.True(again.Again);
        Assert.Equal(first.Entries, again.Entries);
        var other = Assert.IsType<Refused>(await ledger.Recorder.Record(bat, LedgerForTests.Release(owner, owner), key, Ct));
        Assert.Equal("key-used-before", other.Refusals[0].Code);
    }

    [Fact]
    public async Task A_refused_command_records_nothing()
    {
        var owner = await ledger.Party("Gus Lark");
        var bat = await ledger.Bat(owner);
        var stranger = await ledger.Party("Hal Wren");
        Assert.Equal("not-custodian", Assert.IsType<Refused>(await ledger.Recorder.Record(bat, LedgerForTests.Release(stranger, owner), new Request("x"), Ct)).Refusals[0].Code);
        Assert.Single(await ledger.Get<Histories>().Open(bat, Ct));
        Assert.Equal(0L, await ledger.Scalar($"select count(*) from {ledger.Place.Schema}.custody_alias where stream = '{bat}' and alias > 1"));
        Assert.Equal(0L, await ledger.Scalar($"select count(*) from {ledger.Place.Schema}.custody_answer where key = 'x'"));
    }

    [Fact]
    public async Task An_unknown_party_or_bat_is_refused_by_name()
    {
        var owner = await ledger.Party("Ida Moor");
        var bat = await ledger.Bat(owner);
        var nobody = PartyId.Parse("party/" + new string('Z', 25) + "0");
        var keys = Directory.GetFiles(ledger.Place.Folder("keys/values")).Length;
        Assert.Equal("party-unknown", Assert.IsType<Refused>(await ledger.Recorder.Record(bat, LedgerForTests.Release(owner, nobody), new Request(), Ct)).Refusals[0].Code);
        Assert.IsType<Custody.Server.Recording.Unknown>(await ledger.Recorder.Record(StreamName.Parse("bat/" + new string('Z', 25) + "0"), LedgerForTests.Release(owner, owner), new Request(), Ct));
        // Naming somebody makes no key for them: strangers could fill the folder.
        Assert.Equal(keys, Directory.GetFiles(ledger.Place.Folder("keys/values")).Length);
    }

    [Theory]
    [InlineData("update S.mt_events set seq_id = seq_id + 100")]
    [InlineData("delete from S.mt_events")]
    [InlineData("truncate S.mt_events cascade")]
    [InlineData("delete from S.mt_streams")]
    public async Task The_database_refuses_to_change_or_remove_an_entry(string sql)
    {
        await ledger.Bat(await ledger.Party("Jon Vale"));
        var refused = await Assert.ThrowsAsync<PostgresException>(() => ledger.Scalar(sql.Replace("S.", ledger.Place.Schema + ".", StringComparison.Ordinal)));
        Assert.Contains("is refused", refused.MessageText, StringComparison.Ordinal);
    }
}
