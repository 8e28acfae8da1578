using System.Text.Json.Nodes;
using Npgsql;

namespace Custody.Server.Tests.Auditing;

/// <summary>A column as the database describes it.</summary>
/// <param name="Type">PostgreSQL's short name of the type; an array's begins with an underscore.</param>
/// <param name="InKey">Whether it stands in a key or unique constraint.</param>
sealed record StoredColumn(string Name, string Type, bool MayBeNull, bool InKey);

/// <summary>A row, by its place on disk.</summary>
/// <param name="Unit">What hangs together: the stream it belongs to, or itself. Two damages to one unit could not be told apart.</param>
sealed record StoredRow(string Place, string Unit, JsonObject Values);

/// <summary>A table with all its rows. Columns that the database computes itself are left aside.</summary>
sealed record StoredTable(string Name, IReadOnlyList<StoredColumn> Columns, IReadOnlyList<StoredRow> Rows)
{
    /// <summary>Every table of a schema, whatever made it.</summary>
    public static async Task<IReadOnlyList<StoredTable>> All(NpgsqlConnection connection, string schema)
    {
        var columns = (await Read(connection,
            $"""
            select c.table_name, c.column_name, c.udt_name, c.is_nullable = 'YES', exists (select from pg_index i
                where i.indrelid = format('%I.%I', c.table_schema, c.table_name)::regclass and i.indisunique and c.ordinal_position = any(i.indkey::int2[]))
            from information_schema.columns c join information_schema.tables t using (table_schema, table_name)
            where c.table_schema = '{schema}' and t.table_type = 'BASE TABLE' and c.is_generated = 'NEVER' order by 1, c.ordinal_position
            """)).ToLookup(r => (string)r[0], r => new StoredColumn((string)r[1], (string)r[2], (bool)r[3], (bool)r[4]));
        List<StoredTable> tables = [];
        foreach (var table in columns)
        {
            var rows = await Read(connection, $"select t.ctid::text, {Unit(table.Key, [.. table], schema)}, to_jsonb(t)::text from {schema}.{table.Key} t order by t.ctid");
            tables.Add(new(table.Key, [.. table], [.. rows.Select(r => new StoredRow((string)r[0], (string)r[1], Json((string)r[2])))]));
        }
        return tables;
    }

    static string Unit(string table, IReadOnlyList<StoredColumn> columns, string schema) =>
        columns.Any(c => c.Name == "stream_id") ? "t.stream_id"
        : columns.Any(c => c.Name == "stream") ? "coalesce(t.stream, 'none')"
        : table == "mt_streams" || table.StartsWith("mt_doc_", StringComparison.Ordinal) ? "t.id"
        : table == "custody_pending" ? $"(select e.stream_id from {schema}.mt_events e where e.seq_id = t.seq_id)"
        : columns.Any(c => c.Name == "origin") ? "t.origin"
        : $"'{table} ' || t.ctid::text";

    public static JsonObject Json(string row) => JsonNode.Parse(row)!.AsObject();

    public static async Task<List<object[]>> Read(NpgsqlConnection connection, string sql)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        await using var reader = await command.ExecuteReaderAsync();
        List<object[]> rows = [];
        while (await reader.ReadAsync())
        {
            var row = new object[reader.FieldCount];
            reader.GetValues(row);
            rows.Add(row);
        }
        return rows;
    }
}
