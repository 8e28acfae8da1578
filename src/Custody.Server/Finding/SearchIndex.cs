using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Private;
using Custody.Transparency;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Finding;

/// <summary>Full-text search over everything recorded, in the order of the log. The index is a by-product: it follows the leaves, and can be made again.</summary>
public sealed class SearchIndex(NpgsqlDataSource database, WithheldValues withheld, KeyRing keys, string schema)
{
    const int Batch = 500;
    internal const long Lock = 0x637573746f6673;

    /// <summary>Which words an entry stands under. Kept as the comment of the index's table: where it is another, a start empties the index (custody.sql, which
    /// says the same), so that it is made again and what older versions left out is found too.</summary>
    internal const string Form = "form 2";

    /// <summary>Indexes the next leaves.</summary>
    /// <returns>How many; 0 when the index is up to date or another node is at it.</returns>
    public async Task<int> Follow(CancellationToken ct)
    {
        await using var connection = await database.OpenConnectionAsync(ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        if (!(bool)(await Scalar(connection, $"select pg_try_advisory_xact_lock({Lock})", ct))!) return 0;
        var from = (long)(await Scalar(connection, $"select coalesce((select size from {schema}.custody_search_progress), 0)", ct))!;
        var entries = await Next(connection, from, ct);
        if (entries.Count == 0) return 0;
        foreach (var stream in entries.GroupBy(e => e.Stream, StringComparer.Ordinal)) await Index(connection, stream.Key, [.. stream], ct);
        await Execute(connection,
            $"insert into {schema}.custody_search_progress (one, size) values (true, $1) on conflict (one) do update set size = excluded.size", ct, entries[^1].Index + 1);
        await transaction.CommitAsync(ct);
        return entries.Count;
    }

    /// <summary>Makes the whole index again.</summary>
    public async Task Rebuild(CancellationToken ct)
    {
        await using (var connection = await database.OpenConnectionAsync(ct))
            await Execute(connection, $"with gone as (delete from {schema}.custody_search) delete from {schema}.custody_search_progress", ct);
        while (await Follow(ct) > 0)
        {
        }
    }

    /// <summary>Streams in which every word of the question occurs, at most 200.</summary>
    public Task<IReadOnlyList<StreamName>> Find(string question, CancellationToken ct) =>
        Holding(question, word => $"{SearchWords.OpenToken(word)} | {SearchWords.KeyedToken(keys, word)}", ct);

    /// <summary>Parties of whose names every word typed is a beginning, at most 200. Only names are looked at, present and earlier ones.</summary>
    public Task<IReadOnlyList<StreamName>> FindParties(string typed, CancellationToken ct) => Holding(typed, word => SearchWords.BeginningToken(keys, word), ct);

    async Task<IReadOnlyList<StreamName>> Holding(string asked, Func<string, string> tokens, CancellationToken ct)
    {
        var words = SearchWords.Of(asked).Distinct(StringComparer.Ordinal).Take(8).ToList();
        if (words.Count == 0) return [];
        var each = words.Select((_, i) => $"select stream from {schema}.custody_search where words @@ to_tsquery('simple', ${i + 1})");
        await using var command = database.CreateCommand($"select stream from ({string.Join(" intersect ", each)}) as found order by stream limit 200");
        foreach (var word in words) command.Parameters.Add(new() { Value = tokens(word), NpgsqlDbType = NpgsqlDbType.Text });
        List<StreamName> found = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) found.Add(StreamName.Parse(reader.GetString(0)));
        return found;
    }

    /// <summary>Takes out of the index what stood under a key. The key must be destroyed already, so that nothing comes back.</summary>
    public async Task Forget(string subject, CancellationToken ct)
    {
        await using var connection = await database.OpenConnectionAsync(ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        // Whoever is indexing may have read the value while its key was there: its rows must be seen here before they are deleted.
        await Scalar(connection, $"select pg_advisory_xact_lock({Lock})", ct);
        await Execute(connection, $"delete from {schema}.custody_search where key_id = $1", ct, keys.IdOf(subject));
        await transaction.CommitAsync(ct);
    }

    // Not every index has an event: a record that came back after a restore without its stream has none.
    readonly record struct Waiting(string Stream, long N, byte[] Bytes, long Index);

    async Task<List<Waiting>> Next(NpgsqlConnection connection, long from, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(
            $"select l.stream, l.n, e.bdata, l.index from {schema}.custody_leaf l join {schema}.mt_events e using (seq_id) where l.index >= $1 order by l.index limit {Batch}", connection);
        command.Parameters.Add(new() { Value = from, NpgsqlDbType = NpgsqlDbType.Bigint });
        List<Waiting> entries = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) entries.Add(new(reader.GetString(0), reader.GetInt64(1), reader.GetFieldValue<byte[]>(2), reader.GetInt64(3)));
        return entries;
    }

    async Task Index(NpgsqlConnection connection, string stream, List<Waiting> entries, CancellationToken ct)
    {
        foreach (var (n, keyId, tokens) in await Words(stream, entries.ConvertAll(e => (e.N, e.Bytes)), ct)) await Put(connection, stream, n, keyId, tokens, ct);
    }

    /// <summary>What the index holds of some entries of a stream: by number and key (none for open words), the tokens.</summary>
    internal async Task<IReadOnlyList<(long N, string KeyId, IEnumerable<string> Tokens)>> Words(string stream, IReadOnlyList<(long N, byte[] Bytes)> entries, CancellationToken ct)
    {
        var numbers = entries.Select(e => e.N).ToHashSet();
        var values = (await withheld.Of(StreamName.Parse(stream), ct)).Where(v => numbers.Contains(v.N)).ToLookup(v => v.N);
        List<(long, string, IEnumerable<string>)> all = [];
        foreach (var (n, bytes) in entries)
        {
            if (Gone.IsOne(bytes)) continue;
            var form = EntryForm.Read(bytes);
            all.Add((n, "", SearchWords.TextsIn(form.Body).Append(form.Type).SelectMany(SearchWords.OfOpen).Select(SearchWords.OpenToken)));
            foreach (var byKey in values[n].GroupBy(v => v.KeyId, StringComparer.Ordinal))
            {
                var texts = byKey.SelectMany(v => SearchWords.TextsIn(Disclosure.Parse(v.Disclosure).Value));
                // People are looked for while their names are typed: of those, and of nothing else, beginnings are found.
                var names = stream.StartsWith("party/", StringComparison.Ordinal) ? byKey.Where(v => v is { Pointer: "/body", Name: "name" or "otherNames" }) : [];
                var beginnings = names.SelectMany(v => SearchWords.TextsIn(Disclosure.Parse(v.Disclosure).Value)).SelectMany(SearchWords.Of).SelectMany(SearchWords.Beginnings);
                all.Add((n, byKey.Key, texts.SelectMany(SearchWords.Of).Select(w => SearchWords.KeyedToken(keys, w)).Concat(beginnings.Select(w => SearchWords.BeginningToken(keys, w)))));
            }
        }
        return all;
    }

    Task Put(NpgsqlConnection connection, string stream, long n, string keyId, IEnumerable<string> tokens, CancellationToken ct) => Execute(connection,
        $"insert into {schema}.custody_search (stream, n, key_id, words) values ($1, $2, $3, array_to_tsvector($4)) on conflict do nothing", ct,
        stream, n, keyId, tokens.Distinct(StringComparer.Ordinal).ToArray());

    static async Task Execute(NpgsqlConnection connection, string sql, CancellationToken ct, params object[] values)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        foreach (var value in values) command.Parameters.Add(new() { Value = value });
        await command.ExecuteNonQueryAsync(ct);
    }

    static async Task<object?> Scalar(NpgsqlConnection connection, string sql, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        return await command.ExecuteScalarAsync(ct);
    }
}
