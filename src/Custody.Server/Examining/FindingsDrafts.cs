using System.Globalization;
using System.Security.Cryptography;
using System.Text.Json;
using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Recording;
using static Custody.Server.Recording.Parameters;

namespace Custody.Server.Examining;

/// <summary>Keeps findings that are not locked yet, so that an examination can be left and taken up again. Covered by the bat's key: what an examiner
/// writes is as private here as it will be in the ledger.</summary>
public sealed class FindingsDrafts(Tables tables, KeyRing keys)
{
    /// <summary>The draft of an examination; empty when nothing was written down yet.</summary>
    public async Task<FindingsDraft> Of(StreamName bat, long examination, CancellationToken ct)
    {
        await using var command = tables.Command("select nonce, cipher from {0}.custody_draft where stream = $1 and examination = $2", Text(bat.ToString()), Number(examination));
        await using var reader = await command.ExecuteReaderAsync(ct);
        if (keys.KeyOf(bat.ToString()) is not { } key || !await reader.ReadAsync(ct)) return FindingsDraft.Empty;
        Covered covered = new(keys.IdOf(bat.ToString()), reader.GetFieldValue<byte[]>(0), reader.GetFieldValue<byte[]>(1));
        return JsonSerializer.Deserialize<FindingsDraft>(Cover.Off(key, Place(bat, examination), covered), JsonText.Options)!;
    }

    /// <summary>Keeps a draft in place of the one before.</summary>
    public async Task Keep(StreamName bat, long examination, FindingsDraft draft, CancellationToken ct)
    {
        var key = keys.KeyOf(bat.ToString()) ?? throw new InvalidOperationException("The bat's key was destroyed.");
        var covered = Cover.Over(key, keys.IdOf(bat.ToString()), Place(bat, examination), JsonSerializer.Serialize(draft, JsonText.Options), RandomNumberGenerator.GetBytes(12));
        await using var command = tables.Command(
            """
            insert into {0}.custody_draft (stream, examination, nonce, cipher) values ($1, $2, $3, $4)
            on conflict (stream, examination) do update set nonce = excluded.nonce, cipher = excluded.cipher
            """, Text(bat.ToString()), Number(examination), Bytes(covered.Nonce), Bytes(covered.Cipher));
        await command.ExecuteNonQueryAsync(ct);
    }

    public async Task Drop(StreamName bat, long examination, CancellationToken ct)
    {
        await using var command = tables.Command("delete from {0}.custody_draft where stream = $1 and examination = $2", Text(bat.ToString()), Number(examination));
        await command.ExecuteNonQueryAsync(ct);
    }

    static string Place(StreamName bat, long examination) => string.Create(CultureInfo.InvariantCulture, $"custody/draft/v1\n{bat}\n{examination}");
}
