using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Recording;
using static Custody.Server.Recording.Parameters;

namespace Custody.Server.Challenges;

/// <summary>Challenges as the database keeps them. An answer is one statement, so that of two only one counts.</summary>
public sealed class ChallengeTable(Tables tables)
{
    /// <summary>Kept so long after it was asked, to be read again by whoever has the code.</summary>
    static readonly TimeSpan Kept = TimeSpan.FromDays(90);

    /// <summary>Open challenges of one bat at a time: nobody needs an account to make one, so the table must not grow at a stranger's will.</summary>
    const int MostOpen = 50;

    /// <summary>Puts a new one, and takes away what is long over.</summary>
    /// <returns>False when too many are open for that bat.</returns>
    public async Task<bool> Put(HolderChallenge challenge, CancellationToken ct)
    {
        await using (var old = tables.Command("delete from {0}.custody_challenge where asked < $1", Time(challenge.Asked - Kept))) await old.ExecuteNonQueryAsync(ct);
        await using var command = tables.Command(
            """
            insert into {0}.custody_challenge (code, stream, words, asked)
            select $1, $2, $3, $4 where (select count(*) from {0}.custody_challenge where stream = $2 and answered is null and asked > $5) < $6
            """,
            Bytes(challenge.Code), Text(challenge.Bat.ToString()), Bytes(challenge.Words), Time(challenge.Asked), Time(challenge.Asked - HolderChallenge.Lasts),
            Number(MostOpen));
        return await command.ExecuteNonQueryAsync(ct) == 1;
    }

    public async Task<HolderChallenge?> Find(string code, CancellationToken ct)
    {
        var digest = HolderChallenge.CodeOf(code);
        await using var command = tables.Command("select stream, words, asked, answered from {0}.custody_challenge where code = $1", Bytes(digest));
        await using var reader = await command.ExecuteReaderAsync(ct);
        return await reader.ReadAsync(ct)
            ? new(digest, StreamName.Parse(reader.GetString(0)), reader.GetFieldValue<byte[]>(1), reader.GetFieldValue<DateTimeOffset>(2),
                await reader.IsDBNullAsync(3, ct) ? null : reader.GetFieldValue<DateTimeOffset>(3))
            : null;
    }

    /// <summary>Marks it answered, once.</summary>
    /// <returns>False when another answer came first.</returns>
    public async Task<bool> Answer(HolderChallenge challenge, DateTimeOffset now, CancellationToken ct)
    {
        await using var command = tables.Command("update {0}.custody_challenge set answered = $2 where code = $1 and answered is null", Bytes(challenge.Code), Time(now));
        return await command.ExecuteNonQueryAsync(ct) == 1;
    }
}
