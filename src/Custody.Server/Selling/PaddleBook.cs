using System.Security.Cryptography;
using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Recording;
using static Custody.Server.Recording.Parameters;

namespace Custody.Server.Selling;

/// <summary>Who bids under which paddle.</summary>
public sealed record Paddle(string Number, PartyId Party, string Name);

/// <summary>The paddles of a sale, so that a hammer price needs no name typed. Beside the ledger: what a paddle bought stands there, with its buyer. Each line is
/// covered by its bidder's own key, and goes when they are erased.</summary>
public sealed class PaddleBook(Tables tables, KeyRing keys, WithheldValues withheld)
{
    /// <summary>Longest number of a paddle, in characters.</summary>
    public const int Longest = 10;

    /// <summary>A paddle as it is written, or null when it cannot be one: letters and digits.</summary>
    public static string? Read(string? said) =>
        said?.Trim().ToUpperInvariant() is { Length: > 0 and <= Longest } number && number.All(char.IsAsciiLetterOrDigit) ? number : null;

    /// <summary>The paddles of a sale, by number.</summary>
    public async Task<IReadOnlyList<Paddle>> All(StreamName sale, CancellationToken ct)
    {
        List<Paddle> found = [];
        foreach (var (number, party) in await Lines(sale, null, ct))
            if (await withheld.NameOf(party, ct) is { } name) found.Add(new(number, party, name));
        return [.. found.OrderBy(p => p.Number.Length).ThenBy(p => p.Number, StringComparer.Ordinal)];
    }

    /// <summary>Who bids under a paddle; null when nobody does.</summary>
    public async Task<PartyId?> Find(StreamName sale, string number, CancellationToken ct) => (await Lines(sale, number, ct)).Select(l => l.Party).FirstOrDefault();

    /// <summary>Gives a paddle to a bidder.</summary>
    /// <returns>False when somebody else has it.</returns>
    public async Task<bool> Give(StreamName sale, string number, PartyId party, CancellationToken ct)
    {
        if (await Find(sale, number, ct) is { } has) return has == party;
        var subject = party.ToString();
        if (keys.KeyOf(subject) is not { } key) return false;
        var covered = Cover.Over(key, keys.IdOf(subject), PlaceOf(sale, number), subject, RandomNumberGenerator.GetBytes(12));
        // One that can be read no more, because its bidder was erased, is free again.
        await using var command = tables.Command(
            """
            insert into {0}.custody_paddle (sale, paddle, key_id, nonce, cipher) values ($1, $2, $3, $4, $5)
            on conflict (sale, paddle) do update set key_id = excluded.key_id, nonce = excluded.nonce, cipher = excluded.cipher where custody_paddle.key_id = $6
            """, Text(sale.ToString()), Text(number), Text(covered.KeyId), Bytes(covered.Nonce), Bytes(covered.Cipher), Text(await KeyOf(sale, number, ct) ?? ""));
        return await command.ExecuteNonQueryAsync(ct) == 1;
    }

    public async Task Take(StreamName sale, string number, CancellationToken ct)
    {
        await using var command = tables.Command("delete from {0}.custody_paddle where sale = $1 and paddle = $2", Text(sale.ToString()), Text(number));
        await command.ExecuteNonQueryAsync(ct);
    }

    async Task<List<(string Number, PartyId Party)>> Lines(StreamName sale, string? number, CancellationToken ct)
    {
        await using var command = tables.Command($"select paddle, key_id, nonce, cipher from {{0}}.custody_paddle where sale = $1{(number is null ? "" : " and paddle = $2")}",
            number is null ? [Text(sale.ToString())] : [Text(sale.ToString()), Text(number)]);
        await using var reader = await command.ExecuteReaderAsync(ct);
        List<(string, PartyId)> found = [];
        while (await reader.ReadAsync(ct))
            if (keys.Find(reader.GetString(1)) is { } key)
                found.Add((reader.GetString(0), PartyId.Parse(Cover.Off(key, PlaceOf(sale, reader.GetString(0)), new(reader.GetString(1), reader.GetFieldValue<byte[]>(2), reader.GetFieldValue<byte[]>(3))))));
        return found;
    }

    async Task<string?> KeyOf(StreamName sale, string number, CancellationToken ct)
    {
        await using var command = tables.Command("select key_id from {0}.custody_paddle where sale = $1 and paddle = $2", Text(sale.ToString()), Text(number));
        return await command.ExecuteScalarAsync(ct) as string;
    }

    static string PlaceOf(StreamName sale, string number) => $"paddle\n{sale}\n{number}";
}
