using Custody.Bats;
using Custody.Server.Recording;
using Npgsql;
using static Custody.Server.Recording.Parameters;

namespace Custody.Server.Sharing;

/// <summary>A link to a dossier, as the table keeps it.</summary>
/// <param name="Token">SHA-256 of the address's random part: who reads the table opens nothing.</param>
/// <param name="Party">The owner's tag.</param>
/// <param name="N">Number of the last entry in the dossier.</param>
/// <param name="Shown">How many withheld values it shows.</param>
/// <param name="KeyIds">Keys that the file stands under.</param>
/// <param name="Ended">When its owner ended it; null while it stands.</param>
public sealed record SharedLink(
    byte[] Token, StreamName Bat, byte[] Party, long N, long Shown, IReadOnlyList<string> KeyIds, string FileName, DateTimeOffset Made, DateTimeOffset Expires,
    DateTimeOffset? Ended)
{
    /// <summary>Names the link to its owner, and its file; opens nothing.</summary>
    public string Id => Convert.ToHexStringLower(Token);

    public bool IsOpen(DateTimeOffset now) => Ended is null && now < Expires;
}

/// <summary>How often a link was opened on a day; nothing else is known of it.</summary>
public sealed record OpensOfDay(DateOnly Day, long Opened);

/// <summary>Links, and their opens by date.</summary>
public sealed class SharedTable(Tables tables)
{
    const string Columns = "token, stream, party, n, shown, key_ids, file_name, made, expires, ended";

    public async Task Put(SharedLink link, CancellationToken ct)
    {
        await using var command = tables.Command(
            $"insert into {{0}}.custody_shared ({Columns}) values ($1, $2, $3, $4, $5, $6, $7, $8, $9, null)", Bytes(link.Token), Text(link.Bat.ToString()),
            Bytes(link.Party), Number(link.N), Number(link.Shown), Texts(link.KeyIds),
            Text(link.FileName), Time(link.Made), Time(link.Expires));
        await command.ExecuteNonQueryAsync(ct);
    }

    public async Task<SharedLink?> Find(byte[] token, CancellationToken ct)
    {
        await using var command = tables.Command($"select {Columns} from {{0}}.custody_shared where token = $1", Bytes(token));
        return (await Read(command, ct)).SingleOrDefault();
    }

    /// <summary>Links of an owner, the newest first.</summary>
    public async Task<IReadOnlyList<SharedLink>> Of(byte[] party, CancellationToken ct)
    {
        await using var command = tables.Command($"select {Columns} from {{0}}.custody_shared where party = $1 order by made desc, token", Bytes(party));
        return await Read(command, ct);
    }

    /// <summary>Links that are over: ended, or run out by this time.</summary>
    public async Task<IReadOnlyList<SharedLink>> Over(DateTimeOffset now, CancellationToken ct)
    {
        await using var command = tables.Command($"select {Columns} from {{0}}.custody_shared where ended is not null or expires <= $1", Time(now));
        return await Read(command, ct);
    }

    /// <summary>Ends a link of this owner.</summary>
    /// <returns>False when there is none, or it was ended before.</returns>
    public async Task<bool> End(byte[] token, byte[] party, DateTimeOffset now, CancellationToken ct)
    {
        await using var command = tables.Command(
            "update {0}.custody_shared set ended = $3 where token = $1 and party = $2 and ended is null", Bytes(token), Bytes(party), Time(now));
        return await command.ExecuteNonQueryAsync(ct) == 1;
    }

    /// <summary>The alias that the owner of a link has on its bat.</summary>
    public async Task<Alias?> OwnerOn(SharedLink link, CancellationToken ct)
    {
        await using var command = tables.Command("select alias from {0}.custody_alias where stream = $1 and party = $2", Text(link.Bat.ToString()), Bytes(link.Party));
        return await command.ExecuteScalarAsync(ct) is int number ? new Alias(number) : null;
    }

    public async Task Count(byte[] token, DateOnly day, CancellationToken ct)
    {
        await using var command = tables.Command(
            """
            insert into {0}.custody_shared_open (token, day, opened) values ($1, $2, 1)
            on conflict (token, day) do update set opened = custody_shared_open.opened + 1
            """, Bytes(token), Day(day));
        await command.ExecuteNonQueryAsync(ct);
    }

    public async Task<IReadOnlyList<OpensOfDay>> Opens(byte[] token, CancellationToken ct)
    {
        await using var command = tables.Command("select day, opened from {0}.custody_shared_open where token = $1 order by day", Bytes(token));
        await using var reader = await command.ExecuteReaderAsync(ct);
        List<OpensOfDay> opens = [];
        while (await reader.ReadAsync(ct)) opens.Add(new(reader.GetFieldValue<DateOnly>(0), reader.GetInt64(1)));
        return opens;
    }

    static async Task<List<SharedLink>> Read(NpgsqlCommand command, CancellationToken ct)
    {
        List<SharedLink> links = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
            links.Add(new(reader.GetFieldValue<byte[]>(0), StreamName.Parse(reader.GetString(1)), reader.GetFieldValue<byte[]>(2), reader.GetInt64(3), reader.GetInt64(4),
                reader.GetFieldValue<string[]>(5), reader.GetString(6), reader.GetFieldValue<DateTimeOffset>(7), reader.GetFieldValue<DateTimeOffset>(8),
                await reader.IsDBNullAsync(9, ct) ? null : reader.GetFieldValue<DateTimeOffset>(9)));
        return links;
    }
}
