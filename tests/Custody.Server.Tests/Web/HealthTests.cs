using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;
using Custody.Server.Web;
using Microsoft.AspNetCore.Http;
using Npgsql;

namespace Custody.Server.Tests.Web;

public sealed class HealthTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>
{
    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_ledger_that_nobody_sequences_is_not_well_and_one_that_another_node_sequences_is()
    {
        await using var ledger = await LedgerForTests.Open(postgres);
        SequencerStanding standing = new();
        Assert.Equal((503, "No node is sequencing: what is recorded waits until one does."), await Ask(ledger.Get<NpgsqlDataSource>(), standing, ledger.Place));
        await using var other = await ledger.Again();
        await other.Get<Sequencer>().StartAsync(Ct);
        while (other.Get<SequencerStanding>().State != SequencerState.Leading) await Task.Delay(20, Ct);
        Assert.Equal((200, null), await Ask(ledger.Get<NpgsqlDataSource>(), standing, ledger.Place));
        standing.Trouble = "The log's folder cannot be read or written.";
        Assert.Equal((503, standing.Trouble), await Ask(ledger.Get<NpgsqlDataSource>(), standing, ledger.Place));
        await other.Get<Sequencer>().StopAsync(Ct);
    }

    [Fact]
    public async Task A_database_that_does_not_answer_is_said_without_its_address()
    {
        await using var nowhere = NpgsqlDataSource.Create("Host=127.0.0.1;Port=1;Username=nobody;Database=none;Timeout=2");
        Assert.Equal((503, "The database does not answer."), await Ask(nowhere, new SequencerStanding(), new LedgerPlace("ledger.example", "", "", "custody")));
    }

    static async Task<(int?, string?)> Ask(NpgsqlDataSource database, SequencerStanding standing, LedgerPlace place)
    {
        var answer = await HealthEndpoint.Get(database, standing, new Server.Cosigning.CosigningStanding(), place, Ct);
        return (((IStatusCodeHttpResult)answer).StatusCode, ((Health)((IValueHttpResult)answer).Value!).Reason);
    }
}
