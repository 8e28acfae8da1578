using Custody.Bats;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Benchmarks;

/// <summary>Puts the long history into the event tables by COPY, without folding it: what a rebuild has before it.</summary>
static class BulkLoad
{
    const int RowsAtOnce = 25_000;

    public static async Task Load(Bench bench, int events, CancellationToken ct)
    {
        if (events <= 0) return;
        var bats = await bench.Scalar<long>($"select count(*) from {bench.Place.Schema}.mt_streams where id like 'bat/%'", ct);
        var history = new BulkHistory(bench.Place.Origin, bench.Writers.Acts, checked((int)bats));
        var lives = history.Lives(events);
        await Put(bench, lives, history.Entries(lives), ct);
    }

    /// <summary>Puts streams and then their entries into the event tables, in this order.</summary>
    public static async Task Put(Bench bench, IReadOnlyList<(StreamName Stream, int Length)> streams, IEnumerable<BulkEntry> entries, CancellationToken ct)
    {
        await using (var connection = await bench.Database.OpenConnectionAsync(ct))
        {
            await Streams(connection, bench.Place.Schema, streams, ct);
            var seq = await bench.Scalar<long>($"select coalesce(max(seq_id), 0) from {bench.Place.Schema}.mt_events", ct);
            foreach (var rows in entries.Chunk(RowsAtOnce)) seq = await Events(connection, bench.Place.Schema, seq, rows, ct);
        }
        // The order of the events is given out by this sequence; readers hold it for the newest there is.
        await bench.Run($"select setval('{bench.Place.Schema}.mt_events_sequence', (select max(seq_id) from {bench.Place.Schema}.mt_events))", ct);
        // Years of recording would have been counted by now.
        await bench.Run("analyze", ct);
    }

    static async Task Streams(NpgsqlConnection connection, string schema, IReadOnlyList<(StreamName Stream, int Length)> streams, CancellationToken ct)
    {
        await using var copy = await connection.BeginBinaryImportAsync($"copy {schema}.mt_streams (id, type, version) from stdin binary", ct);
        foreach (var (stream, length) in streams)
        {
            await copy.StartRowAsync(ct);
            await copy.WriteAsync(stream.ToString(), NpgsqlDbType.Varchar, ct);
            await copy.WriteAsync(stream.Kind, NpgsqlDbType.Varchar, ct);
            await copy.WriteAsync((long)length, NpgsqlDbType.Bigint, ct);
        }
        await copy.CompleteAsync(ct);
    }

    static async Task<long> Events(NpgsqlConnection connection, string schema, long seq, BulkEntry[] rows, CancellationToken ct)
    {
        await using var copy = await connection.BeginBinaryImportAsync(
            $"copy {schema}.mt_events (seq_id, id, stream_id, version, data, bdata, type) from stdin binary", ct);
        foreach (var row in rows)
        {
            await copy.StartRowAsync(ct);
            await copy.WriteAsync(++seq, NpgsqlDbType.Bigint, ct);
            await copy.WriteAsync(Guid.CreateVersion7(), NpgsqlDbType.Uuid, ct);
            await copy.WriteAsync(row.Stream.ToString(), NpgsqlDbType.Varchar, ct);
            await copy.WriteAsync(row.N, NpgsqlDbType.Bigint, ct);
            await copy.WriteAsync("{}", NpgsqlDbType.Jsonb, ct);
            await copy.WriteAsync(row.Bytes, NpgsqlDbType.Bytea, ct);
            await copy.WriteAsync(row.Stream.Kind + "-entry-1", NpgsqlDbType.Varchar, ct);
        }
        await copy.CompleteAsync(ct);
        return seq;
    }
}
