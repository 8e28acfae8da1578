using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Recording;
using Npgsql;
using static Custody.Server.Recording.Parameters;

namespace Custody.Server.Transferring;

/// <summary>What an owner offers to the other side of a transfer.</summary>
/// <param name="Owner">Who gives, by their account.</param>
/// <param name="To">Name of the other side, as the owner knows it.</param>
/// <param name="HandedOver">The bat itself goes over too, from hand to hand.</param>
public sealed record TransferOffer(PartyId Owner, string To, AcquisitionKind Kind, bool HandedOver);

/// <summary>An offer that waits for the other side.</summary>
/// <param name="Id">Digest of the link, in hexadecimal: names the offer, opens nothing.</param>
public sealed record WaitingTransfer(string Id, StreamName Bat, TransferOffer Offer, DateTimeOffset Expires);

/// <summary>Offers as the database keeps them: encrypted under the owner's key, bound to their link.</summary>
public sealed class TransferTable(Tables tables, KeyRing keys)
{
    public static string IdOf(string token) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes("custody/transfer-link/v1\n" + token)));

    /// <summary>Puts an offer in place of any earlier one of this owner for this bat, and takes away what has run out.</summary>
    /// <returns>False when the owner has no key here: never recorded, or erased.</returns>
    public async Task<bool> Put(WaitingTransfer waiting, DateTimeOffset now, CancellationToken ct)
    {
        if (keys.TagOf(waiting.Offer.Owner.ToString()) is not { } tag || keys.KeyOf(waiting.Offer.Owner.ToString()) is not { } key) return false;
        var covered = Cover.Over(key, keys.IdOf(waiting.Offer.Owner.ToString()), PlaceOf(waiting.Id, waiting.Bat), JsonSerializer.Serialize(waiting.Offer, JsonText.Options), RandomNumberGenerator.GetBytes(12));
        await using var command = tables.Command(
            """
            with over as (delete from {0}.custody_transfer where expires <= $8 or (party = $3 and stream = $2))
            insert into {0}.custody_transfer (token, stream, party, key_id, nonce, cipher, expires) values ($1, $2, $3, $4, $5, $6, $7)
            """, Bytes(Convert.FromHexString(waiting.Id)), Text(waiting.Bat.ToString()), Bytes(tag), Text(covered.KeyId), Bytes(covered.Nonce), Bytes(covered.Cipher), Time(waiting.Expires), Time(now));
        await command.ExecuteNonQueryAsync(ct);
        return true;
    }

    /// <summary>The offer behind a link's digest; null when there is none, it has run out, or its key is gone.</summary>
    public Task<WaitingTransfer?> Find(string id, DateTimeOffset now, CancellationToken ct) => One("token = $1", Bytes(Convert.FromHexString(id)), now, ct);

    /// <summary>The offer that an owner made for a bat; null when none waits.</summary>
    public async Task<WaitingTransfer?> Of(PartyId owner, StreamName bat, DateTimeOffset now, CancellationToken ct) =>
        keys.TagOf(owner.ToString()) is { } tag && await One("party = $1", Bytes(tag), now, ct, bat) is { } found ? found : null;

    public async Task<bool> Remove(string id, CancellationToken ct)
    {
        await using var command = tables.Command("delete from {0}.custody_transfer where token = $1", Bytes(Convert.FromHexString(id)));
        return await command.ExecuteNonQueryAsync(ct) == 1;
    }

    async Task<WaitingTransfer?> One(string which, NpgsqlParameter value, DateTimeOffset now, CancellationToken ct, StreamName? bat = null)
    {
        await using var command = tables.Command(
            $"select token, stream, key_id, nonce, cipher, expires from {{0}}.custody_transfer where {which} and expires > $2{(bat is null ? "" : " and stream = $3")}",
            bat is null ? [value, Time(now)] : [value, Time(now), Text(bat.ToString())]);
        await using var reader = await command.ExecuteReaderAsync(ct);
        if (!await reader.ReadAsync(ct) || keys.Find(reader.GetString(2)) is not { } key) return null;
        var (id, stream) = (Convert.ToHexStringLower(reader.GetFieldValue<byte[]>(0)), StreamName.Parse(reader.GetString(1)));
        var plain = Cover.Off(key, PlaceOf(id, stream), new(reader.GetString(2), reader.GetFieldValue<byte[]>(3), reader.GetFieldValue<byte[]>(4)));
        return new(id, stream, JsonSerializer.Deserialize<TransferOffer>(plain, JsonText.Options)!, reader.GetFieldValue<DateTimeOffset>(5));
    }

    static string PlaceOf(string id, StreamName bat) => $"transfer\n{id}\n{bat}";
}
