using System.Security.Cryptography;
using System.Text;
using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Challenges;

/// <summary>Secrets by which holders answer while there are no accounts. 128 random bits, kept as a digest under the party's tag: an erased party has none.</summary>
public sealed class HolderSecrets(NpgsqlDataSource database, KeyRing keys, LedgerPlace place, TimeProvider clock)
{
    /// <summary>Issues a secret; the one before stops working. Null when the party is not known, or erased.</summary>
    public async Task<string?> Issue(PartyId party, CancellationToken ct)
    {
        if (keys.TagOf(party.ToString()) is not { } tag) return null;
        var secret = Crockford.Encode(RandomNumberGenerator.GetBytes(16));
        await using var command = database.CreateCommand(
            $"insert into {place.Schema}.custody_holder_secret (party, secret, issued) values ($1, $2, $3) on conflict (party) do update set secret = excluded.secret, issued = excluded.issued");
        command.Parameters.Add(new() { Value = tag, NpgsqlDbType = NpgsqlDbType.Bytea });
        command.Parameters.Add(new() { Value = Digest(secret), NpgsqlDbType = NpgsqlDbType.Bytea });
        command.Parameters.Add(new() { Value = clock.GetUtcNow().ToUniversalTime(), NpgsqlDbType = NpgsqlDbType.TimestampTz });
        await command.ExecuteNonQueryAsync(ct);
        return secret;
    }

    /// <summary>Ends a party's secret, as when it was lost.</summary>
    public async Task<bool> End(PartyId party, CancellationToken ct)
    {
        if (keys.TagOf(party.ToString()) is not { } tag) return false;
        await using var command = database.CreateCommand($"delete from {place.Schema}.custody_holder_secret where party = $1");
        command.Parameters.Add(new() { Value = tag, NpgsqlDbType = NpgsqlDbType.Bytea });
        return await command.ExecuteNonQueryAsync(ct) == 1;
    }

    /// <summary>Whether this is that party's secret.</summary>
    public async Task<bool> Fits(PartyId party, string said, CancellationToken ct)
    {
        if (keys.TagOf(party.ToString()) is not { } tag || !Crockford.TryDecode(said, out var bits)) return false;
        await using var command = database.CreateCommand($"select secret from {place.Schema}.custody_holder_secret where party = $1");
        command.Parameters.Add(new() { Value = tag, NpgsqlDbType = NpgsqlDbType.Bytea });
        return await command.ExecuteScalarAsync(ct) is byte[] kept && CryptographicOperations.FixedTimeEquals(kept, Digest(Crockford.Encode(bits)));
    }

    // All 128 bits are random, so one round of a plain hash is enough.
    static byte[] Digest(string secret) => SHA256.HashData(Encoding.UTF8.GetBytes("custody/holder-secret/v1\n" + secret));
}
