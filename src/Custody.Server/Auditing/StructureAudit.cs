using System.Globalization;
using System.Text.RegularExpressions;
using Custody.Server.Recording;
using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>What guards the tables, and what Marten keeps beside the events.</summary>
static partial class StructureAudit
{
    /// <summary>Triggers and their functions are those of the schema: without them entries could be changed with nobody the wiser, or miss the log.</summary>
    public static async Task Guards(Snapshot snapshot, Findings findings, CancellationToken ct)
    {
        var sql = await Recording.Schema.Text(snapshot.Schema, ct);
        Dictionary<string, char> there = new(StringComparer.Ordinal);
        await foreach (var row in Read(snapshot,
            $"select c.relname || '.' || t.tgname, t.tgenabled::text from pg_trigger t join pg_class c on c.oid = t.tgrelid join pg_namespace s on s.oid = c.relnamespace where s.nspname = '{snapshot.Schema}'", ct))
            there[row.GetString(0)] = row.GetString(1)[0];
        foreach (Match trigger in Trigger().Matches(sql))
        {
            var where = $"trigger {trigger.Groups[1].Value} on {trigger.Groups[2].Value}";
            if (!there.TryGetValue($"{trigger.Groups[2].Value}.{trigger.Groups[1].Value}", out var enabled)) findings.Fault("trigger-missing", where, "it is missing.");
            else if (enabled is not ('O' or 'A')) findings.Fault("trigger-disabled", where, "it is disabled.");
        }
        Dictionary<string, string> sources = new(StringComparer.Ordinal);
        await foreach (var row in Read(snapshot, $"select p.proname, p.prosrc from pg_proc p join pg_namespace s on s.oid = p.pronamespace where s.nspname = '{snapshot.Schema}' and p.proname like 'custody%'", ct))
            sources[row.GetString(0)] = row.GetString(1);
        foreach (Match function in Function().Matches(sql))
            if (sources.GetValueOrDefault(function.Groups[1].Value) != function.Groups[2].Value)
                findings.Fault("function-changed", $"function {function.Groups[1].Value}", "it is not the one of the schema: a trigger that calls it guards nothing.");
    }

    // What may be there only once. The audit finds the second row too; these keep it from being written.
    static readonly (string Table, string Columns)[] Once =
    [
        ("mt_events", "seq_id"), ("mt_events", "stream_id, version"), ("mt_streams", "id"), ("custody_pending", "seq_id"), ("custody_leaf", "index"), ("custody_leaf", "seq_id"),
        ("custody_leaf", "tag"), ("custody_leaf", "stream, n"), ("custody_checkpoint", "size"), ("custody_withheld", "stream, n, pointer, name"), ("custody_alias", "stream, alias"),
        ("custody_alias", "stream, party"), ("custody_answer", "key"), ("custody_cosigned", "origin"), ("custody_cosigned_before", "origin, size"), ("custody_fork", "origin, digest"),
    ];

    /// <summary>Keys and unique constraints: without them one place could be filled twice.</summary>
    public static async Task Uniqueness(Snapshot snapshot, Findings findings, CancellationToken ct)
    {
        HashSet<string> there = new(StringComparer.Ordinal);
        await foreach (var row in Read(snapshot,
            $"""
            select c.relname || ' (' || (select string_agg(a.attname, ', ' order by k.place) from unnest(i.indkey::int2[]) with ordinality k(number, place)
            join pg_attribute a on a.attrelid = c.oid and a.attnum = k.number) || ')'
            from pg_index i join pg_class c on c.oid = i.indrelid join pg_namespace s on s.oid = c.relnamespace
            where s.nspname = '{snapshot.Schema}' and i.indisunique and i.indisvalid and i.indpred is null and i.indexprs is null
            """, ct))
            there.Add(row.GetString(0));
        foreach (var (table, columns) in Once.Where(o => !there.Contains($"{o.Table} ({o.Columns})")))
            findings.Fault("constraint-missing", $"unique {table} ({columns})", "it is missing: the database would take a second row.");
    }

    /// <summary>Sequence numbers that wait for their place in the log.</summary>
    public static async Task<IReadOnlySet<long>> Pending(Snapshot snapshot, Findings findings, CancellationToken ct)
    {
        HashSet<long> pending = [];
        await foreach (var row in Read(snapshot, $"select seq_id from {snapshot.Schema}.custody_pending", ct))
            if (!pending.Add(row.GetInt64(0))) findings.Fault("pending-twice", string.Create(CultureInfo.InvariantCulture, $"custody_pending seq_id {row.GetInt64(0)}"), "the row is there twice.");
        return pending;
    }

    // Marten makes this row when a commit fails because a connection was cut, and would put an event without content there, which a trigger refuses. The row
    // alone says nothing; with an event it is judged like any other.
    const string TombstoneStream = "mt_tombstone";

    // As Marten writes the state's type beside a stream: its name, in small letters, words parted by an underscore. A stream
    // that came back after a restore has none.
    static readonly string Types = $"case split_part(id, '/', 1) {string.Concat(StreamKind.All.Values.Select(k => $"when '{k.Name}' then '{Words().Replace(k.State.Name, "_").ToLowerInvariant()}' "))}end";

    [GeneratedRegex("(?<=[a-z])(?=[A-Z])")]
    private static partial Regex Words();

    /// <summary>The table of streams says of each how far it goes: the next act is appended after that number.</summary>
    public static async Task Streams(Snapshot snapshot, IEnumerable<(string Stream, long N)> met, Findings findings, CancellationToken ct)
    {
        var left = met.ToDictionary(m => m.Stream, m => m.N, StringComparer.Ordinal);
        await foreach (var row in Read(snapshot, $"select id, coalesce(version, -1), coalesce(is_archived, true), coalesce(tenant_id = '*DEFAULT*' and compacted_version = 0 and coalesce(type = {Types}, true), false) from {snapshot.Schema}.mt_streams", ct))
        {
            var (id, where) = (row.GetString(0), $"mt_streams id {row.GetString(0)}");
            if (!left.Remove(id, out var n) && id == TombstoneStream) continue;
            if (n == 0) findings.Fault("stream-empty", where, "the stream has no event.");
            else if (row.GetInt64(1) != n) findings.Fault("stream-version", where, string.Create(CultureInfo.InvariantCulture, $"it says that the stream ends with {row.GetInt64(1)}; it ends with {n}."));
            if (!row.GetBoolean(3)) findings.Fault("stream-columns", where, "the columns beside the version are not those of such a stream: it would not be loaded, or as something else.");
            if (row.GetBoolean(2)) findings.Fault("stream-archived", where, "the stream is marked as archived.");
        }
        foreach (var (stream, _) in left) findings.Fault("stream-missing", $"mt_streams id {stream}", "the row is missing.");
    }

    static async IAsyncEnumerable<NpgsqlDataReader> Read(Snapshot snapshot, string sql, [System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(sql, snapshot.First) { CommandTimeout = 600 };
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) yield return reader;
    }

    [GeneratedRegex(@"create or replace trigger (\w+)[^;]*? on \w+\.(\w+)", RegexOptions.Singleline)]
    private static partial Regex Trigger();

    [GeneratedRegex(@"create or replace function \w+\.(\w+)\(\)[^$]*\$\$(.*?)\$\$", RegexOptions.Singleline)]
    private static partial Regex Function();
}
