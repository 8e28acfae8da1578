using Custody.Bats;
using Custody.Server.Finding;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Npgsql;

namespace Custody.Server.Tests.Recording;

public sealed class RebuildTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>
{
    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_rebuild_gives_the_same_bytes_as_live()
    {
        await using var ledger = await LedgerForTests.Open(postgres);
        for (var i = 0; i < 4; i++)
        {
            var owner = await ledger.Party($"Owner {i}");
            var house = await ledger.Party($"House {i}");
            var bat = await ledger.Bat(owner);
            ledger.Clock.Now += TimeSpan.FromHours(1);
            Assert.IsType<Recorded>(await ledger.Recorder.Record(bat, LedgerForTests.Release(owner, house), new Request(), Ct));
        }
        while (await ledger.Get<Leaves>().Take(Ct) > 0)
        {
        }
        while (await ledger.Get<SearchIndex>().Follow(Ct) > 0)
        {
        }
        var live = await Documents(ledger);
        var words = await Words(ledger);
        Assert.NotEmpty(words);
        Assert.Equal(4 + 8 + 1, live.Count); // bats, parties, the ledger itself
        // A rebuild that did nothing would pass as well: spoil one document first.
        await using (var spoil = ledger.Get<NpgsqlDataSource>().CreateCommand($"update {ledger.Place.Schema}.mt_doc_bat_state set data = data || '{{\"n\": 99}}'"))
            await spoil.ExecuteNonQueryAsync(Ct);
        Assert.NotEqual(live, await Documents(ledger));
        await ledger.Scalar($"delete from {ledger.Place.Schema}.custody_search where n = 2");
        Assert.NotEqual(words, await Words(ledger));
        await ledger.Get<Rebuilding>().All(_ => { }, Ct);
        Assert.Equal(live, await Documents(ledger));
        Assert.Equal(words, await Words(ledger));
    }

    static async Task<string> Words(LedgerForTests ledger) => (string)(await ledger.Scalar(
        $"select string_agg(stream || n || key_id || words::text, ';' order by stream, n, key_id) from {ledger.Place.Schema}.custody_search"))!;

    static async Task<IReadOnlyList<string>> Documents(LedgerForTests ledger)
    {
        List<string> tables = [], rows = [];
        await using (var command = ledger.Get<NpgsqlDataSource>().CreateCommand($"select table_name from information_schema.tables where table_schema = '{ledger.Place.Schema}' and table_name like 'mt\\_doc\\_%' order by 1"))
        await using (var reader = await command.ExecuteReaderAsync(Ct))
            while (await reader.ReadAsync(Ct)) tables.Add(reader.GetString(0));
        foreach (var table in tables)
        {
            await using var command = ledger.Get<NpgsqlDataSource>().CreateCommand($"select id::text || ' ' || data::text from {ledger.Place.Schema}.{table} order by id");
            await using var reader = await command.ExecuteReaderAsync(Ct);
            while (await reader.ReadAsync(Ct)) rows.Add($"{table} {reader.GetString(0)}");
        }
        return rows;
    }
}
