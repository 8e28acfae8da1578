using System.Globalization;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Server.Recording;
using Custody.Transparency;
using Marten;
using Marten.Schema;
using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>Folds every stream again and compares the result with the state kept beside it. As much work as a rebuild, and changes nothing.</summary>
sealed class StateAudit(IDocumentStore store, Findings findings, IProgress<string> progress)
{
    public long Looked { get; private set; }

    public async Task Run(Snapshot snapshot, CancellationToken ct)
    {
        var second = await snapshot.Open(ct);
        foreach (var kind in StreamKind.All.Values)
        {
            var table = $"mt_doc_{kind.Name}_state";
            HashSet<string> met = new(StringComparer.Ordinal);
            await using var command = new NpgsqlCommand(
                $"""
                select s.id, d.id, d.data::text, {Beside(kind)} from (select id from {snapshot.Schema}.mt_streams where id like '{kind.Name}/%') s
                full join {snapshot.Schema}.{table} d on d.id = s.id
                """, second)
            { CommandTimeout = 0 };
            await using var reader = await command.ExecuteReaderAsync(ct);
            while (await reader.ReadAsync(ct))
            {
                if (reader.IsDBNull(0)) findings.Fault("state-unfounded", $"{table} id {reader.GetString(1)}", "there is no such stream.");
                else await Look(snapshot, kind, reader.GetString(0), reader.IsDBNull(2) ? null : reader.GetString(2), table, ct);
                if (reader.IsDBNull(1)) continue;
                if (!reader.GetBoolean(3)) findings.Fault("state-columns", $"{table} id {reader.GetString(1)}", "what stands beside the state is not what the state says; 'rebuild' makes it again.");
                if (!met.Add(reader.GetString(1))) findings.Fault("state-twice", $"{table} id {reader.GetString(1)}", "the row is there twice.");
            }
        }
    }

    // By these columns rows are found and loaded. They say again what stands in the document: its number, its type, the members that are searched for.
    string Beside(StreamKind kind)
    {
        var mapping = (DocumentMapping)store.Options.FindOrResolveDocumentType(kind.State);
        List<string> same = [$"d.mt_version is not distinct from (d.data ->> 'n')::bigint", $"d.mt_dotnet_type is not distinct from '{kind.State.FullName}'"];
        // As Marten fills the column when it is added to a table that has rows: "column = expression over d".
        foreach (var field in mapping.DuplicatedFields) same.Add($"d.{field.UpdateSqlFragment().Replace(" = ", " is not distinct from ", StringComparison.Ordinal)}");
        return string.Join(" and ", same);
    }

    async Task Look(Snapshot snapshot, StreamKind kind, string stream, string? kept, string table, CancellationToken ct)
    {
        if (++Looked % 2000 == 0) progress.Report(string.Create(CultureInfo.InvariantCulture, $"states: {Looked:N0}"));
        var where = $"{table} id {stream}";
        if (kept is null)
        {
            findings.Fault("state-missing", where, "the row is missing; 'rebuild' makes it again.");
            return;
        }
        try
        {
            var state = kind.Fold(StreamName.Parse(stream), await Lines(snapshot, stream, ct));
            if (!JsonNode.DeepEquals(JsonNode.Parse(store.Options.Serializer().ToJson(state)), JsonNode.Parse(kept)))
                findings.Fault("state-other", where, "it is not what the entries amount to; 'rebuild' makes it again.");
        }
        catch (Exception wrong) when (wrong is Malformed or InvalidOperationException or KeyNotFoundException or ArgumentException or FormatException)
        {
            findings.Fault("state-unfoldable", where, "the entries of the stream cannot be folded: look at what is found of them.");
        }
    }

    static async Task<List<byte[]>> Lines(Snapshot snapshot, string stream, CancellationToken ct)
    {
        List<byte[]> lines = [];
        await using var command = new NpgsqlCommand($"select bdata from {snapshot.Schema}.mt_events where stream_id = $1 order by version", snapshot.First);
        command.Parameters.Add(new() { Value = stream });
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) lines.Add(reader.IsDBNull(0) ? [] : reader.GetFieldValue<byte[]>(0));
        return lines;
    }
}
