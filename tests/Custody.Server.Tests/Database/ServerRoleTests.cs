using System.Net;
using Custody.Bats;
using Custody.Server.Auditing;
using Custody.Server.Operating;
using Custody.Server.Recording;
using Custody.Server.Tests.Accounts;
using Custody.Server.Tests.Web;
using Npgsql;

namespace Custody.Server.Tests.Database;

/// <summary>A server whose role owns nothing: it does all its work, and whoever has its password can change or remove no entry.</summary>
public sealed class ServerRoleTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>
{
    const string Role = "custody_test_server";

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task The_servers_role_records_and_publishes_and_can_neither_change_nor_remove_what_was_recorded()
    {
        await Run(postgres.AdminConnectionString, $"do $$ begin if not exists (select from pg_roles where rolname = '{Role}') then create role {Role} login password 'only-for-tests'; end if; end $$");
        var server = new NpgsqlConnectionStringBuilder(postgres.ConnectionString) { Username = Role, Password = "only-for-tests" }.ConnectionString;
        await using var house = await RunningHouse.Start(server, Ct, owner: postgres.ConnectionString);
        var owner = await house.Party("Ada Quill");
        var bat = await house.Bat(owner);
        await house.Published(bat);
        await house.Indexed();
        Assert.Equal(HttpStatusCode.Created, (await house.Send($"/api/bats/{bat.Id}/move-bat", $$"""{"by":"{{owner}}","reason":"storage","toPlace":"rack 1"}""")).StatusCode);
        await house.MadeAccount("registrar", owner, Server.Accounts.AccountRole.Registrar);
        using (var browser = await house.SignedIn("registrar")) Assert.Contains("taped", (await browser.Get("/find?q=taped")).Text, StringComparison.Ordinal);

        var schema = house.Place.Schema;
        // It gives itself rights: PostgreSQL answers that with a warning alone, so what counts is that they are not there afterwards.
        await Run(server, $"grant update, delete, truncate on {schema}.mt_events, {schema}.custody_leaf to {Role}");
        foreach (var sql in Attacks(schema))
        {
            var refused = await Assert.ThrowsAsync<PostgresException>(() => Run(server, sql));
            Assert.True(refused.SqlState == PostgresErrorCodes.InsufficientPrivilege, $"{sql}: {refused.SqlState} {refused.MessageText}");
        }
        var report = await house.Get<Auditor>().Run(new AuditScope(Values: true, States: true), new Progress<string>(), Ct);
        Assert.DoesNotContain(report.Findings.Kept, f => f.IsFault);
        // Not by the role alone: the owner's own statement meets the trigger.
        Assert.Equal(PostgresErrorCodes.RaiseException, (await Assert.ThrowsAsync<PostgresException>(() => Run(postgres.ConnectionString, $"delete from {schema}.mt_events"))).SqlState);
    }

    static IEnumerable<string> Attacks(string schema)
    {
        foreach (var table in new[] { "mt_events", "custody_leaf", "custody_checkpoint", "custody_fork", "custody_cosigned_before" })
        {
            yield return $"delete from {schema}.{table}";
            yield return $"truncate {schema}.{table} cascade";
            yield return $"alter table {schema}.{table} disable trigger all";
            yield return $"drop table {schema}.{table} cascade";
        }
        yield return $"update {schema}.mt_events set bdata = ''";
        yield return $"update {schema}.custody_leaf set hash = hash";
        yield return $"update {schema}.custody_checkpoint set note = ''";
        yield return $"delete from {schema}.mt_streams";
        yield return $"drop trigger custody_events_stay on {schema}.mt_events";
        yield return $"create or replace function {schema}.custody_refuse_change() returns trigger language plpgsql as $$ begin return null; end $$";
        yield return $"create table {schema}.anything (a int)";
        yield return "set session_replication_role = replica";
        yield return "set role custody_test";
    }

    [Fact]
    public async Task One_role_for_both_is_refused_because_it_would_own_what_it_must_not_change()
    {
        var place = new LedgerPlace("ledger.example", postgres.ConnectionString, Path.GetTempPath(), "one" + Guid.NewGuid().ToString("n")[..12], postgres.ConnectionString);
        await Assert.ThrowsAsync<Server.Configuring.SettingFault>(() => ServerRole.Prepare(place, Ct));
    }

    static async Task Run(string connection, string sql)
    {
        await using NpgsqlConnection open = new(new NpgsqlConnectionStringBuilder(connection) { Pooling = false }.ConnectionString);
        await open.OpenAsync(Ct);
        await using NpgsqlCommand command = new(sql, open);
        await command.ExecuteNonQueryAsync(Ct);
    }
}
