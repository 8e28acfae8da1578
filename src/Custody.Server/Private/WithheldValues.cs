using System.Security.Cryptography;
using Custody.Bats;
using Custody.Ledger;
using Custody.Transparency;
using Marten;
using Npgsql;
using NpgsqlTypes;
using WithheldValue = Custody.Ledger.WithheldValue;

namespace Custody.Server.Private;

/// <summary>The withheld values of entries: put in the transaction that appends, read back for those who may see them.</summary>
public sealed class WithheldValues(NpgsqlDataSource database, KeyRing keys, string schema)
{
    /// <summary>Queues the values of one entry. What concerns a party goes under that party's key, everything else under the stream's.</summary>
    /// <param name="partyOf">The party behind an alias that this entry introduces.</param>
    public void Put(IDocumentSession session, Entry entry, IReadOnlyList<WithheldValue> values, Func<Alias, PartyId?> partyOf)
    {
        if (values.Count == 0) return;
        var stream = entry.Envelope.Stream.ToString();
        var rows = values.Select(v => (Value: v, Covered: CoverOne(stream, entry.N, v, v.Concerns is { } a ? partyOf(a)?.ToString() : null))).ToList();
        session.QueueSqlCommand(
            $"""
            insert into {schema}.custody_withheld (stream, n, pointer, name, key_id, nonce, cipher)
            select ?, ?, pointer, name, key_id, nonce, cipher from unnest(?, ?, ?, ?, ?) as t(pointer, name, key_id, nonce, cipher)
            """,
            stream, entry.N, rows.Select(r => r.Value.Pointer).ToArray(), rows.Select(r => r.Value.Name).ToArray(),
            rows.Select(r => r.Covered.KeyId).ToArray(), rows.Select(r => r.Covered.Nonce).ToArray(), rows.Select(r => r.Covered.Cipher).ToArray());
    }

    Covered CoverOne(string stream, long n, WithheldValue value, string? party)
    {
        var subject = party ?? stream;
        var key = keys.KeyOf(subject) ?? throw new InvalidOperationException("The key of an erased subject is asked for; the act should have been refused.");
        var place = Cover.Place(stream, n, value.Pointer, value.Name);
        return Cover.Over(key, keys.IdOf(subject), place, value.Disclosure, RandomNumberGenerator.GetBytes(12));
    }

    /// <summary>Every disclosure of a stream whose key still exists, by entry number, then pointer and name.</summary>
    public async Task<IReadOnlyList<ShownValue>> Of(StreamName stream, CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            $"select n, pointer, name, key_id, nonce, cipher, stream from {schema}.custody_withheld where stream = $1 order by n, pointer collate \"C\", name collate \"C\"");
        command.Parameters.Add(new() { Value = stream.ToString(), NpgsqlDbType = NpgsqlDbType.Text });
        return [.. (await Shown(command, ct)).Select(s => s.Value)];
    }

    /// <summary>Of many streams at once: the names of everybody in them, how entries name or describe what the stream is of, and a party's address.</summary>
    public async Task<ILookup<string, ShownValue>> NamesIn(IReadOnlyCollection<StreamName> streams, CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            $"""
            select n, pointer, name, key_id, nonce, cipher, stream from {schema}.custody_withheld
            where stream = any($1) and ((pointer like '/body/parties/%' and name = 'name') or (pointer = '/body' and name in ('description', 'name', 'title', 'scope', 'address')))
            order by stream, n
            """);
        command.Parameters.Add(new() { Value = streams.Select(s => s.ToString()).ToArray(), NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Text });
        return (await Shown(command, ct)).ToLookup(s => s.Stream, s => s.Value, StringComparer.Ordinal);
    }

    async Task<List<(string Stream, ShownValue Value)>> Shown(NpgsqlCommand command, CancellationToken ct)
    {
        // One stream's values stand under few keys, each a file: every one is looked for once in one answer.
        Dictionary<string, byte[]?> found = new(StringComparer.Ordinal);
        List<(string, ShownValue)> shown = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
        {
            var covered = new Covered(reader.GetString(3), reader.GetFieldValue<byte[]>(4), reader.GetFieldValue<byte[]>(5));
            if (!found.TryGetValue(covered.KeyId, out var key)) found.Add(covered.KeyId, key = keys.Find(covered.KeyId));
            if (key is null) continue;
            var (n, pointer, name, stream) = (reader.GetInt64(0), reader.GetString(1), reader.GetString(2), reader.GetString(6));
            shown.Add((stream, new(n, pointer, name, covered.KeyId, Cover.Off(key, Cover.Place(stream, n, pointer, name), covered))));
        }
        return shown;
    }

    /// <summary>A party's name as last recorded, or null when it was never said or has been erased.</summary>
    public async Task<string?> NameOf(PartyId party, CancellationToken ct)
    {
        var named = (await Of(party.Stream, ct)).LastOrDefault(v => v is { Pointer: "/body", Name: "name" });
        return named is null ? null : Disclosure.Parse(named.Disclosure).Value is Json.Str name ? name.Value : null;
    }
}

/// <summary>A withheld value with its disclosure text, ready to be shown to someone.</summary>
/// <param name="Pointer">RFC 6901 pointer to the object of the entry whose <c>_sd</c> holds its digest.</param>
/// <param name="KeyId">Name of the key it stands under.</param>
public sealed record ShownValue(long N, string Pointer, string Name, string KeyId, string Disclosure);
