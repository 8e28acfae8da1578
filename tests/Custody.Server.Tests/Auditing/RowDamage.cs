using System.Text.Json.Nodes;

namespace Custody.Server.Tests.Auditing;

/// <summary>One change to one table, as a dishonest superuser would make it.</summary>
/// <param name="What">As it stands in the table of cases.</param>
/// <param name="Takes">How many rows: one, or two that change places.</param>
/// <param name="Fits">Whether it changes anything when done to these rows.</param>
/// <param name="Sql">The statement; answers with the rows as they are afterwards, or were when they are gone.</param>
sealed record RowDamage(string Table, string What, int Takes, Func<IReadOnlyList<StoredRow>, bool> Fits, Func<IReadOnlyList<StoredRow>, string> Sql)
{
    /// <summary>Everything that can be done to a table, generated from what the database says of its columns.</summary>
    public static IEnumerable<RowDamage> Of(StoredTable table, StoredTable alike)
    {
        var (name, answer) = (table.Name, $"returning to_jsonb({table.Name})::text");
        foreach (var c in table.Rows.Count > 0 ? table.Columns : [])
        {
            yield return new(name, $"{c.Name}: changed", 1, _ => true, r => $"update S.{name} set {c.Name} = {Other(c)} where {At(r)} {answer}");
            if (c.MayBeNull) yield return new(name, $"{c.Name}: emptied", 1, r => r[0].Values[c.Name] is not null, r => $"update S.{name} set {c.Name} = null where {At(r)} {answer}");
            if (table.Rows.DistinctBy(r => r.Values[c.Name]?.ToJsonString()).Count() > 1)
                yield return new(name, $"{c.Name}: exchanged with another row's", 2, r => Differ(r, c) && table.Columns.Any(o => o != c && !LeftOut.Is(name, o.Name) && Differ(r, o)),
                    r => $"update S.{name} set {c.Name} = o.{c.Name} from (select ctid as place, {c.Name} from S.{name}) o where S.{name}.{At(r)} and o.place in {Places(r)} and o.place <> S.{name}.ctid {answer}");
        }
        var all = string.Join(", ", table.Columns.Select(c => c.Name));
        if (table.Rows.Count > 0)
        {
            yield return new(name, "row: left out", 1, _ => true, r => $"delete from S.{name} where {At(r)} {answer}");
            yield return new(name, "row: doubled", 1, _ => true, r => $"insert into S.{name} ({all}) select {all} from S.{name} where {At(r)} {answer}");
        }
        var made = string.Join(", ", table.Columns.Select(c => c.InKey ? Other(c) : c.Name));
        yield return new(name, "row: made up", 1, _ => true, r => $"insert into S.{name} ({all}) select {made} from S.{alike.Name} where {At(r)} {answer}");
    }

    // Two rows that differ in one column alone are the same two rows after the exchange.
    static bool Differ(IReadOnlyList<StoredRow> rows, StoredColumn column) => !JsonNode.DeepEquals(rows[0].Values[column.Name], rows[1].Values[column.Name]);

    static string At(IReadOnlyList<StoredRow> rows) => $"ctid in {Places(rows)}";

    static string Places(IReadOnlyList<StoredRow> rows) => $"({string.Join(", ", rows.Select(r => $"'{r.Place}'::tid"))})";

    /// <summary>A value of the same type that is another one.</summary>
    static string Other(StoredColumn c) => c.Type switch
    {
        "int8" or "int4" => $"coalesce({c.Name}, 0) + 1000",
        "text" or "varchar" => $"coalesce({c.Name}, '') || 'x'",
        "bool" => $"not coalesce({c.Name}, false)",
        "uuid" => "gen_random_uuid()",
        "timestamptz" => $"coalesce({c.Name}, now()) + interval '1 day'",
        "jsonb" => $"case jsonb_typeof({c.Name}) when 'array' then {c.Name} || '[1]' else coalesce({c.Name}, '{{}}') || '{{\"x\": 1}}' end",
        "bytea" => $"case when length({c.Name}) > 0 then set_byte({c.Name}, length({c.Name}) - 1, get_byte({c.Name}, length({c.Name}) - 1) # 1) else '\\x01' end",
        "tsvector" => $"{c.Name} || 'x'::tsvector",
        "_text" or "_varchar" => $"array_append({c.Name}, 'x')",
        var other => throw new NotSupportedException($"A column of type {other} is new: say how a value of it is changed."),
    };

    /// <summary>How the audit names a row of this table. At least one finding must name the damaged row so, as it was or as it is now.</summary>
    public static IEnumerable<string> Names(string table, JsonObject row) => table switch
    {
        "mt_events" => [$"mt_events seq_id {row["seq_id"]}", $"({row["stream_id"]} {row["version"]})"],
        "custody_leaf" => [$"custody_leaf index {row["index"]}", $"({row["stream"]} {row["n"]})"],
        "custody_pending" => [$"custody_pending seq_id {row["seq_id"]}", $"mt_events seq_id {row["seq_id"]}"],
        "custody_checkpoint" => [$"custody_checkpoint size {row["size"]}"],
        "custody_withheld" => [$"custody_withheld ({row["stream"]}, {row["n"]}, {row["pointer"]}, {row["name"]})"],
        "custody_alias" => [$"custody_alias ({row["stream"]}, p{row["alias"]})"],
        "custody_answer" => [$"custody_answer key {row["key"]}"],
        "custody_search" => [$"custody_search ({row["stream"]}, {row["n"]}, {row["key_id"]})"],
        "custody_search_progress" => ["custody_search_progress"],
        "custody_cosigned" => [$"custody_cosigned origin {row["origin"]}"],
        "custody_cosigned_before" => [$"custody_cosigned_before ({row["origin"]}, {row["size"]})"],
        "custody_fork" => [$"custody_fork ({row["origin"]}, {row["digest"]?.GetValue<string>()[2..]})"],
        _ => [$"{table} id {row["id"]}"],
    };
}
