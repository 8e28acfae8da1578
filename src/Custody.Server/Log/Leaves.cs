using System.Security.Cryptography;
using Custody.Server.Recording;
using Custody.Transparency;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Log;

/// <summary>The order of the log. One transaction takes entries off the pending table and gives them the next indexes: a crash anywhere in it
/// leaves them pending, a crash after it leaves them as leaves; nothing is skipped, doubled or reordered.</summary>
public sealed class Leaves(NpgsqlDataSource database, LedgerName ledger, string schema)
{
    /// <summary>One at a time, whatever node asks.</summary>
    const long Lock = 0x637573746f6479;

    public const int Batch = 1000;

    /// <summary>Takes up to <see cref="Batch"/> pending entries.</summary>
    /// <returns>How many; 0 when nothing waits.</returns>
    /// <exception cref="LogFault">A stream's number does not follow its last leaf. Nothing was taken.</exception>
    public async Task<int> Take(CancellationToken ct)
    {
        await using var connection = await database.OpenConnectionAsync(ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        await Run(connection, $"select pg_advisory_xact_lock({Lock})", ct);
        var taken = await Pending(connection, ct);
        if (taken.Count == 0) return 0;
        await CheckNumbers(connection, taken, ct);
        await Insert(connection, taken, await Next(connection, ct), ct);
        await transaction.CommitAsync(ct);
        return taken.Count;
    }

    /// <summary>Size of the log as ordered so far.</summary>
    public async Task<long> Size(CancellationToken ct)
    {
        await using var connection = await database.OpenConnectionAsync(ct);
        return await Next(connection, ct);
    }

    /// <summary>The records from an index up to a size, in order.</summary>
    public async Task<LogRecord[]> Records(long from, long to, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select hash, tag from {schema}.custody_leaf where index >= $1 and index < $2 order by index");
        command.Parameters.Add(new() { Value = from, NpgsqlDbType = NpgsqlDbType.Bigint });
        command.Parameters.Add(new() { Value = to, NpgsqlDbType = NpgsqlDbType.Bigint });
        List<LogRecord> records = new(checked((int)(to - from)));
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
            records.Add(new(Hash.FromBytes(reader.GetFieldValue<byte[]>(0)), Hash.FromBytes(reader.GetFieldValue<byte[]>(1))));
        return [.. records];
    }

    /// <summary>The latest time of recording among the entries from an index up to a size.</summary>
    public async Task<DateTimeOffset> NewestRecorded(long from, long to, CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            $"""
            select substring(e.bdata from greatest(1, length(e.bdata) - {RecordedTime.Reach - 1}))
            from {schema}.custody_leaf l join {schema}.mt_events e using (seq_id) where l.index >= $1 and l.index < $2
            """);
        command.Parameters.Add(new() { Value = from, NpgsqlDbType = NpgsqlDbType.Bigint });
        command.Parameters.Add(new() { Value = to, NpgsqlDbType = NpgsqlDbType.Bigint });
        var newest = DateTimeOffset.MinValue;
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
            if (RecordedTime.In(reader.GetFieldValue<byte[]>(0)) is { } time && time > newest) newest = time;
        return newest;
    }

    /// <summary>Index of one entry, or null while it waits.</summary>
    public async Task<long?> IndexOf(string stream, long n, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select index from {schema}.custody_leaf where stream = $1 and n = $2");
        command.Parameters.Add(new() { Value = stream, NpgsqlDbType = NpgsqlDbType.Text });
        command.Parameters.Add(new() { Value = n, NpgsqlDbType = NpgsqlDbType.Bigint });
        return await command.ExecuteScalarAsync(ct) as long?;
    }

    /// <summary>Hash of one entry among the leaves below a size, or null.</summary>
    public async Task<Hash?> HashOf(string stream, long n, long size, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select hash from {schema}.custody_leaf where stream = $1 and n = $2 and index < $3");
        command.Parameters.Add(new() { Value = stream, NpgsqlDbType = NpgsqlDbType.Text });
        command.Parameters.Add(new() { Value = n, NpgsqlDbType = NpgsqlDbType.Bigint });
        command.Parameters.Add(new() { Value = size, NpgsqlDbType = NpgsqlDbType.Bigint });
        return await command.ExecuteScalarAsync(ct) is byte[] hash ? Hash.FromBytes(hash) : null;
    }

    /// <summary>Highest number and hash of a stream among the leaves below a size: what a head says.</summary>
    public async Task<(long N, Hash Hash)?> LastOf(string stream, long size, CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            $"select n, hash from {schema}.custody_leaf where stream = $1 and index < $2 order by n desc limit 1");
        command.Parameters.Add(new() { Value = stream, NpgsqlDbType = NpgsqlDbType.Text });
        command.Parameters.Add(new() { Value = size, NpgsqlDbType = NpgsqlDbType.Bigint });
        await using var reader = await command.ExecuteReaderAsync(ct);
        return await reader.ReadAsync(ct) ? (reader.GetInt64(0), Hash.FromBytes(reader.GetFieldValue<byte[]>(1))) : null;
    }

    /// <summary>Puts back on the pending table every event that is neither pending nor a leaf, in case the trigger was ever disabled.</summary>
    /// <returns>How many were found.</returns>
    public async Task<int> Rescan(CancellationToken ct)
    {
        await using var connection = await database.OpenConnectionAsync(ct);
        await using var command = new NpgsqlCommand(
            $"""
            insert into {schema}.custody_pending (seq_id)
            select e.seq_id from {schema}.mt_events e
            where not exists (select from {schema}.custody_leaf l where l.seq_id = e.seq_id)
            on conflict do nothing
            """, connection)
        { CommandTimeout = 600 };
        return await command.ExecuteNonQueryAsync(ct);
    }

    sealed record Waiting(long SeqId, string Stream, long N, Hash Hash);

    async Task<List<Waiting>> Pending(NpgsqlConnection connection, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(
            $"""
            with taken as (
                delete from {schema}.custody_pending where seq_id in (select seq_id from {schema}.custody_pending order by seq_id limit {Batch})
                returning seq_id)
            select e.seq_id, e.stream_id, e.version, e.bdata from taken join {schema}.mt_events e using (seq_id) order by e.seq_id
            """, connection);
        List<Waiting> taken = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
            taken.Add(new(reader.GetInt64(0), reader.GetString(1), reader.GetInt64(2), Hash.FromBytes(SHA256.HashData(reader.GetFieldValue<byte[]>(3)))));
        return taken;
    }

    async Task CheckNumbers(NpgsqlConnection connection, List<Waiting> taken, CancellationToken ct)
    {
        Dictionary<string, long> last = new(StringComparer.Ordinal);
        await using var command = new NpgsqlCommand(
            $"select s, (select max(n) from {schema}.custody_leaf where stream = s) from unnest($1) as t(s)", connection);
        command.Parameters.Add(new() { Value = taken.Select(t => t.Stream).Distinct().ToArray(), NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Text });
        await using (var reader = await command.ExecuteReaderAsync(ct))
            while (await reader.ReadAsync(ct)) last.Add(reader.GetString(0), reader.IsDBNull(1) ? 0 : reader.GetInt64(1));
        foreach (var entry in taken)
        {
            if (entry.N != last[entry.Stream] + 1)
                throw new LogFault("stream-number", $"Entry {entry.N} of {entry.Stream} does not follow leaf {last[entry.Stream]}. Nothing is sequenced until this is looked into.");
            last[entry.Stream] = entry.N;
        }
    }

    async Task<long> Next(NpgsqlConnection connection, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand($"select coalesce(max(index) + 1, 0) from {schema}.custody_leaf", connection);
        return (long)(await command.ExecuteScalarAsync(ct))!;
    }

    async Task Insert(NpgsqlConnection connection, List<Waiting> taken, long next, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(
            $"""
            insert into {schema}.custody_leaf (index, seq_id, stream, n, hash, tag)
            select $1 + o - 1, seq_id, stream, n, hash, tag
            from unnest($2, $3, $4, $5, $6) with ordinality as t(seq_id, stream, n, hash, tag, o)
            """, connection);
        command.Parameters.Add(new() { Value = next, NpgsqlDbType = NpgsqlDbType.Bigint });
        command.Parameters.Add(new() { Value = taken.Select(t => t.SeqId).ToArray(), NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Bigint });
        command.Parameters.Add(new() { Value = taken.Select(t => t.Stream).ToArray(), NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Text });
        command.Parameters.Add(new() { Value = taken.Select(t => t.N).ToArray(), NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Bigint });
        command.Parameters.Add(new() { Value = taken.Select(t => t.Hash.ToArray()).ToArray(), NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Bytea });
        command.Parameters.Add(new()
        {
            Value = taken.Select(t => SlotTag.Compute(ledger.Origin, t.Stream, t.N).ToArray()).ToArray(),
            NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Bytea,
        });
        await command.ExecuteNonQueryAsync(ct);
    }

    static async Task Run(NpgsqlConnection connection, string sql, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync(ct);
    }
}

/// <summary>The log is not as it must be. Sequencing stops; nobody mends it silently.</summary>
public sealed class LogFault(string code, string sentence) : Exception(sentence)
{
    public string Code { get; } = code;
}
