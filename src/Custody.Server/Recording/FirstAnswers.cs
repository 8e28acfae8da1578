using System.Text.Json;
using Custody.Bats;
using Marten;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Recording;

/// <summary>First answers by idempotency key (rule 9), written in the transaction they answer for.</summary>
public sealed class FirstAnswers(NpgsqlDataSource database, string schema)
{
    /// <summary>The first answer to this key, a refusal when the key was used for something else, or null when the key is new.</summary>
    public async Task<Outcome?> Find(string key, byte[] asked, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select request, answer from {schema}.custody_answer where key = $1");
        command.Parameters.Add(new() { Value = key, NpgsqlDbType = NpgsqlDbType.Text });
        await using var reader = await command.ExecuteReaderAsync(ct);
        if (!await reader.ReadAsync(ct)) return null;
        if (!reader.GetFieldValue<byte[]>(0).AsSpan().SequenceEqual(asked))
            return new Refused("key-used-before", "This idempotency key was used for another act.", "Use a new key for a new act.");
        var entries = JsonSerializer.Deserialize<EntryAnswer[]>(reader.GetString(1), JsonText.Options)!;
        return new Recorded(entries, Again: true);
    }

    /// <summary>The first answer to this key whatever was asked, or null when the key is new: for a caller that keeps its own record of what it asked.</summary>
    public async Task<IReadOnlyList<EntryAnswer>?> Recall(string key, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select answer from {schema}.custody_answer where key = $1");
        command.Parameters.Add(new() { Value = key, NpgsqlDbType = NpgsqlDbType.Text });
        return await command.ExecuteScalarAsync(ct) is string answer ? JsonSerializer.Deserialize<EntryAnswer[]>(answer, JsonText.Options) : null;
    }

    public async Task<bool> Has(string key, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select exists (select from {schema}.custody_answer where key = $1)");
        command.Parameters.Add(new() { Value = key, NpgsqlDbType = NpgsqlDbType.Text });
        return (bool)(await command.ExecuteScalarAsync(ct))!;
    }

    public void Put(IDocumentSession session, string key, byte[] asked, Recorded answer, DateTimeOffset now) =>
        session.QueueSqlCommand($"insert into {schema}.custody_answer (key, request, answer, given) values (?, ?, ?::jsonb, ?)",
            key, asked, JsonSerializer.Serialize(answer.Entries, JsonText.Options), now);
}
