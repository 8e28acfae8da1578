using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Recording;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Examining;

/// <summary>Keeps findings that are not locked yet, so that an examination can be left and taken up again. AES-256-GCM under the bat's key: what an examiner
/// writes is as private here as it will be in the ledger.</summary>
public sealed class FindingsDrafts(NpgsqlDataSource database, KeyRing keys, LedgerPlace place)
{
    const int TagBytes = 16;

    /// <summary>The draft of an examination; empty when nothing was written down yet.</summary>
    public async Task<FindingsDraft> Of(StreamName bat, long examination, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select nonce, cipher from {place.Schema}.custody_draft where stream = $1 and examination = $2");
        Name(command, bat, examination);
        await using var reader = await command.ExecuteReaderAsync(ct);
        if (keys.KeyOf(bat.ToString()) is not { } key || !await reader.ReadAsync(ct)) return FindingsDraft.Empty;
        var (nonce, cipher) = (reader.GetFieldValue<byte[]>(0), reader.GetFieldValue<byte[]>(1));
        using AesGcm aes = new(key, TagBytes);
        var plain = new byte[cipher.Length - TagBytes];
        aes.Decrypt(nonce, cipher.AsSpan(0, plain.Length), cipher.AsSpan(plain.Length), plain, Place(bat, examination));
        return JsonSerializer.Deserialize<FindingsDraft>(plain, JsonText.Options)!;
    }

    /// <summary>Keeps a draft in place of the one before.</summary>
    public async Task Keep(StreamName bat, long examination, FindingsDraft draft, CancellationToken ct)
    {
        var key = keys.KeyOf(bat.ToString()) ?? throw new InvalidOperationException("The bat's key was destroyed.");
        var plain = JsonSerializer.SerializeToUtf8Bytes(draft, JsonText.Options);
        var (nonce, cipher) = (RandomNumberGenerator.GetBytes(12), new byte[plain.Length + TagBytes]);
        using (AesGcm aes = new(key, TagBytes)) aes.Encrypt(nonce, plain, cipher.AsSpan(0, plain.Length), cipher.AsSpan(plain.Length), Place(bat, examination));
        await using var command = database.CreateCommand(
            $"insert into {place.Schema}.custody_draft (stream, examination, nonce, cipher) values ($1, $2, $3, $4) on conflict (stream, examination) do update set nonce = excluded.nonce, cipher = excluded.cipher");
        Name(command, bat, examination);
        command.Parameters.Add(new() { Value = nonce, NpgsqlDbType = NpgsqlDbType.Bytea });
        command.Parameters.Add(new() { Value = cipher, NpgsqlDbType = NpgsqlDbType.Bytea });
        await command.ExecuteNonQueryAsync(ct);
    }

    public async Task Drop(StreamName bat, long examination, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"delete from {place.Schema}.custody_draft where stream = $1 and examination = $2");
        Name(command, bat, examination);
        await command.ExecuteNonQueryAsync(ct);
    }

    static void Name(NpgsqlCommand command, StreamName bat, long examination)
    {
        command.Parameters.Add(new() { Value = bat.ToString(), NpgsqlDbType = NpgsqlDbType.Text });
        command.Parameters.Add(new() { Value = examination, NpgsqlDbType = NpgsqlDbType.Bigint });
    }

    static byte[] Place(StreamName bat, long examination) => Encoding.UTF8.GetBytes(string.Create(System.Globalization.CultureInfo.InvariantCulture, $"custody/draft/v1\n{bat}\n{examination}"));
}
