using System.Globalization;
using Custody.Ledger.Tests;
using Custody.Server.Auditing;
using Custody.Server.Tests.Log;
using Npgsql;
using AuditFinding = Custody.Server.Auditing.Finding;

namespace Custody.Server.Tests.Auditing;

/// <summary>
/// Every column of every table, changed in every way that fits it, with triggers, keys and constraints switched off as only a superuser can. Each damage takes a
/// stream of its own, so that one audit judges many: each must be named by its row, and nothing may be named that was not damaged.
/// </summary>
public sealed class StoredDamageTests(AuditStage stage) : IClassFixture<AuditStage>
{
    sealed record Done(RowDamage Damage, IReadOnlyList<StoredRow> Rows)
    {
        public List<string> Names { get; } = [];

        /// <summary>What the damaged rows belong to now.</summary>
        public List<string> Units { get; } = [];

        public bool IsNamedBy(AuditFinding finding) => Names.Exists(n => Mentions(finding.Where, n));

        public bool Explains(AuditFinding finding) => IsNamedBy(finding) || Rows.Select(r => r.Unit).Concat(Units).Any(u => Mentions(finding.Where, u));
    }

    // Where a leaf is damaged every later root and tile is another, and without the constraints each of them is missing.
    static readonly string[] OfTheWholeTree = ["checkpoint-root", "tile-other", "constraint-missing"];

    static readonly string[] Belongs = ["stream_id", "stream", "id", "origin"];

    [Fact]
    public async Task Every_change_to_every_stored_column_is_found_and_its_row_named()
    {
        var tables = await Tables();
        Assert.Empty(LeftOut.Idle(tables));
        var damages = tables.Where(t => !LeftOut.Is(t.Name)).SelectMany(t => RowDamage.Of(t, Alike(tables, t))).Where(d => !LeftOut.Is(d.Table, d.What)).ToList();
        SortedSet<string> told = new(LeftOut.Told, StringComparer.Ordinal);
        List<string> missed = [];
        // Every checkpoint is named when a leaf is damaged: theirs are judged apart.
        foreach (var group in damages.GroupBy(d => d.Table == "custody_checkpoint"))
            for (var left = group.ToList(); left.Count > 0;)
                left = await Round(tables, left, told, missed);
        Approved.Equal(string.Concat(told), "StoredDamage");
        Assert.True(missed.Count == 0, string.Join('\n', missed));
    }

    [Fact]
    public async Task A_served_ledger_has_no_schema_that_the_matrix_does_not_know()
    {
        await using var server = await LogServer.Start(stage.Postgres, TestContext.Current.CancellationToken);
        await using var connection = new NpgsqlConnection(server.Place.ConnectionString);
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        var beside = await StoredTable.Read(connection, $"select substring(nspname from {server.Place.Schema.Length + 1}) from pg_namespace where starts_with(nspname, '{server.Place.Schema}')");
        Assert.Equal(["", .. LeftOut.Schemas.Keys.Order(StringComparer.Ordinal)], beside.Select(r => (string)r[0]).Order(StringComparer.Ordinal));
    }

    // An empty table of states takes made-up rows like those of parties.
    static StoredTable Alike(IReadOnlyList<StoredTable> tables, StoredTable table)
    {
        var parties = tables.Single(t => t.Name == "mt_doc_party_state");
        return table.Rows.Count == 0 && table.Columns.Select(c => c.Name).SequenceEqual(parties.Columns.Select(c => c.Name)) ? parties : table;
    }

    async Task<List<RowDamage>> Round(IReadOnlyList<StoredTable> tables, List<RowDamage> damages, SortedSet<string> told, List<string> missed)
    {
        HashSet<string> used = new(StringComparer.Ordinal);
        List<Done> done = [];
        foreach (var damage in damages)
            if (Rows(tables, damage, used) is { } rows)
            {
                done.Add(new(damage, rows));
                used.UnionWith(rows.Select(r => r.Unit));
            }
        Assert.NotEmpty(done);
        var report = await stage.AuditAfter(database => Damage(database, done), states: true);
        var faults = report.Findings.Kept.Where(f => f.IsFault && !OfTheWholeTree.Contains(f.Code) || (f.Code == "checkpoint-root" && done[0].Damage.Table == "custody_checkpoint")).ToList();
        foreach (var one in done)
        {
            var codes = faults.Where(one.IsNamedBy).Select(f => f.Code).Distinct().Order(StringComparer.Ordinal);
            told.Add($"{one.Damage.Table} | {one.Damage.What} | {string.Join(", ", codes)}\n");
            if (!faults.Exists(one.IsNamedBy)) missed.Add($"{one.Damage.Table} {one.Damage.What}: {string.Join(" | ", one.Names)}");
        }
        // A leaf far beyond the end leaves none between.
        var end = string.Create(CultureInfo.InvariantCulture, $"custody_leaf index {tables.Single(t => t.Name == "custody_leaf").Rows.Count}");
        missed.AddRange(faults.Where(f => !done.Exists(d => d.Explains(f) || (d.Damage.Table == "custody_leaf" && Mentions(f.Where, end)))).Select(f => $"not damaged: {f}"));
        return [.. damages.Except(done.Select(d => d.Damage))];
    }

    static IReadOnlyList<StoredRow>? Rows(IReadOnlyList<StoredTable> tables, RowDamage damage, HashSet<string> used)
    {
        var table = tables.Single(t => t.Name == damage.Table);
        // The ledger's own stream says which keys count: without it no signature can be judged, and nothing else told apart. What is damaged there is tested singly.
        var free = (table.Rows.Count > 0 ? table : tables.Single(t => t.Name == "mt_doc_party_state")).Rows
            .Where(r => !used.Contains(r.Unit) && (table.Name == "mt_doc_ledger_state" || !r.Unit.StartsWith("ledger/", StringComparison.Ordinal)));
        foreach (var row in free)
        {
            IReadOnlyList<StoredRow> rows = damage.Takes == 1 ? [row] : [row, .. free.Where(o => o.Unit != row.Unit && damage.Fits([row, o])).Take(1)];
            if (rows.Count == damage.Takes && damage.Fits(rows)) return rows;
        }
        return null;
    }

    async Task<IReadOnlyList<StoredTable>> Tables()
    {
        var copy = await stage.Copies.Copy(stage.Place.ConnectionString);
        await using var connection = new NpgsqlConnection(stage.Copies.Admin(copy) + ";Pooling=false");
        await connection.OpenAsync();
        var tables = await StoredTable.All(connection, stage.Place.Schema);
        await connection.CloseAsync();
        await stage.Copies.Drop(copy);
        return tables;
    }

    async Task Damage(string database, List<Done> done)
    {
        await using var connection = new NpgsqlConnection(database);
        await connection.OpenAsync();
        await StoredTable.Read(connection, "set session_replication_role = replica");
        var guards = await StoredTable.Read(connection,
            $"select conrelid::regclass::text, conname::text from pg_constraint join pg_namespace s on s.oid = connamespace where s.nspname = '{stage.Place.Schema}' and contype in ('p', 'u', 'c')");
        foreach (var guard in guards) await StoredTable.Read(connection, $"alter table {guard[0]} drop constraint {guard[1]} cascade");
        foreach (var index in await StoredTable.Read(connection,
            $"select i.indexrelid::regclass::text from pg_index i join pg_class c on c.oid = i.indrelid join pg_namespace s on s.oid = c.relnamespace where s.nspname = '{stage.Place.Schema}' and i.indisunique"))
            await StoredTable.Read(connection, $"drop index {index[0]}");
        foreach (var one in done)
        {
            foreach (var row in one.Rows) one.Names.AddRange(RowDamage.Names(one.Damage.Table, row.Values));
            var sql = one.Damage.Sql(one.Rows).Replace("S.", stage.Place.Schema + ".", StringComparison.Ordinal);
            var now = await StoredTable.Read(connection, sql);
            Assert.True(now.Count == one.Damage.Takes, sql);
            foreach (var row in now.Select(r => StoredTable.Json((string)r[0])))
            {
                one.Names.AddRange(RowDamage.Names(one.Damage.Table, row));
                one.Units.AddRange(Belongs.Select(c => row[c]?.ToString()).OfType<string>());
            }
        }
    }

    // A name, and not the beginning of a longer one.
    static bool Mentions(string where, string name)
    {
        var at = where.IndexOf(name, StringComparison.Ordinal);
        return at >= 0 && (at + name.Length == where.Length || !char.IsLetterOrDigit(where[at + name.Length]) || name[^1] == ')');
    }
}
