using System.Security.Cryptography;
using System.Text.Json;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Private;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Benchmarks;

/// <summary>The yardstick: the same work by hand. Reads head and state in one query, asks the same pure code for entry, decision and fold, then
/// writes entry bytes, head, state, withheld values and pending row in one batch. An append that lost a race writes nothing.</summary>
/// <remarks>Leaner than any product could be: no idempotency, no aliases looked up, no look at typed text, one key kept in memory.</remarks>
sealed class HandWritten(NpgsqlDataSource database, string ledger, Acts acts)
{
    readonly byte[] key = RandomNumberGenerator.GetBytes(32);

    readonly Dictionary<PartyId, KnownParty> people = new()
    {
        [acts.Owner] = new KnownParty(new Alias(1), ""),
        [acts.House] = new KnownParty(new Alias(2), ""),
    };

    public static async Task Prepare(Bench bench, CancellationToken ct) => await bench.Run(
        $"""
        create schema plain;
        create table plain.stream (id text primary key, version bigint not null);
        create table plain.event (
            seq bigint generated always as identity primary key, stream text not null, version bigint not null, bytes bytea not null,
            recorded timestamptz not null default now(), unique (stream, version));
        create table plain.state (id text primary key, data jsonb not null, changed timestamptz not null default now());
        create table plain.bare (seq bigint generated always as identity primary key, bytes bytea not null);
        create table plain.pending (seq bigint primary key);
        create table plain.withheld (
            stream text, n bigint, pointer text, name text, nonce bytea not null, cipher bytea not null, primary key (stream, n, pointer, name));
        insert into plain.stream (id, version) select id, version from {bench.Place.Schema}.mt_streams where id like 'bat/%';
        insert into plain.event (stream, version, bytes) select stream_id, version, bdata from {bench.Place.Schema}.mt_events where stream_id like 'bat/%' order by seq_id;
        insert into plain.state (id, data) select id, data from {bench.Place.Schema}.mt_doc_bat_state
        """, ct);

    public async Task Record(StreamName bat, BatCommand command, CancellationToken ct)
    {
        await using var connection = await database.OpenConnectionAsync(ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        var state = await Read(connection, bat.ToString(), ct);
        var fact = command.Produce(state, new Introductions(people, 2))[0];
        var now = DateTimeOffset.FromUnixTimeSeconds(DateTimeOffset.UtcNow.ToUnixTimeSeconds());
        var at = new Envelope(ledger, Decisions.LatestRules, bat, state.N + 1, state.Head, now, command.Occurred, people[command.By].Alias);
        var written = EntryCodec.Write(at, fact, RandomNumberGenerator.Fill);
        var entry = new Entry(at, fact, written.Hash);
        if (Decisions.Permit(state, entry, Nothing.Cited) is [var refusal, ..]) throw new InvalidOperationException(refusal.Sentence);
        await Write(connection, entry, written, state.Fold(entry), ct);
        await transaction.CommitAsync(ct);
    }

    // As long as an entry is.
    readonly byte[] something = RandomNumberGenerator.GetBytes(800);

    /// <summary>Nothing but a row committed: the floor under every way of recording.</summary>
    public async Task Insert(CancellationToken ct)
    {
        await using var command = database.CreateCommand("insert into plain.bare (bytes) values ($1)");
        command.Parameters.Add(Bytes(something));
        await command.ExecuteNonQueryAsync(ct);
    }

    static async Task<Bat> Read(NpgsqlConnection connection, string bat, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand("select s.version, d.data from plain.stream s join plain.state d using (id) where s.id = $1", connection);
        command.Parameters.Add(new NpgsqlParameter<string> { TypedValue = bat, NpgsqlDbType = NpgsqlDbType.Text });
        await using var reader = await command.ExecuteReaderAsync(ct);
        await reader.ReadAsync(ct);
        return JsonSerializer.Deserialize<Bat>(reader.GetFieldValue<byte[]>(1), JsonText.Options)!;
    }

    async Task Write(NpgsqlConnection connection, Entry entry, Sealed written, Bat next, CancellationToken ct)
    {
        var stream = next.Id;
        await using var batch = new NpgsqlBatch(connection);
        Add(batch, "update plain.stream set version = $2 where id = $1 and version = $2 - 1", Text(stream), Number(entry.N));
        Add(batch, "with e as (insert into plain.event (stream, version, bytes) values ($1, $2, $3) returning seq) insert into plain.pending select seq from e",
            Text(stream), Number(entry.N), Bytes(written.Bytes));
        Add(batch, "insert into plain.state (id, data) values ($1, $2) on conflict (id) do update set data = excluded.data, changed = now()",
            Text(stream), new NpgsqlParameter { Value = JsonSerializer.SerializeToUtf8Bytes(next, JsonText.Options), NpgsqlDbType = NpgsqlDbType.Jsonb });
        foreach (var value in written.Withheld)
        {
            var covered = Cover.Over(key, "", Cover.Place(stream, entry.N, value.Pointer, value.Name), value.Disclosure, RandomNumberGenerator.GetBytes(12));
            Add(batch, "insert into plain.withheld values ($1, $2, $3, $4, $5, $6)",
                Text(stream), Number(entry.N), Text(value.Pointer), Text(value.Name), Bytes(covered.Nonce), Bytes(covered.Cipher));
        }
        await batch.ExecuteNonQueryAsync(ct);
        if (batch.BatchCommands[0].RecordsAffected != 1) throw new InvalidOperationException($"Somebody else wrote entry {entry.N} of {stream} first.");
    }

    static void Add(NpgsqlBatch batch, string sql, params ReadOnlySpan<NpgsqlParameter> parameters)
    {
        NpgsqlBatchCommand command = new(sql);
        foreach (var parameter in parameters) command.Parameters.Add(parameter);
        batch.BatchCommands.Add(command);
    }

    static NpgsqlParameter<string> Text(string text) => new() { TypedValue = text, NpgsqlDbType = NpgsqlDbType.Text };

    static NpgsqlParameter<long> Number(long number) => new() { TypedValue = number, NpgsqlDbType = NpgsqlDbType.Bigint };

    static NpgsqlParameter<byte[]> Bytes(byte[] bytes) => new() { TypedValue = bytes, NpgsqlDbType = NpgsqlDbType.Bytea };
}

/// <summary>No entry of another stream is cited by these acts.</summary>
sealed class Nothing : ICited
{
    public static readonly Nothing Cited = new();

    public Entry? Find(Reference reference) => null;
}
