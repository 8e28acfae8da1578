using Custody.Bats;
using Custody.Ledger;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Recording;

/// <summary>Fetches the entries that a fact cites, by exact reference. An entry that is not there, or has another hash, is simply not found:
/// the rules say what that means.</summary>
public sealed class Citations(NpgsqlDataSource database, LedgerName ledger, string schema)
{
    /// <param name="ofThisAct">Entries that the same act recorded just before.</param>
    public async Task<ICited> Load(Fact fact, IReadOnlyList<Entry> ofThisAct, CancellationToken ct)
    {
        Dictionary<string, Entry> found = new(StringComparer.Ordinal);
        foreach (var reference in fact.Cites.Where(r => r.Ledger is null || r.Ledger == ledger.Origin))
        {
            var entry = ofThisAct.FirstOrDefault(e => e.Hash == reference.Hash) ?? await Load(reference, ct);
            if (entry is not null) found[entry.Hash] = entry;
        }
        return new Found(found);
    }

    async Task<Entry?> Load(Reference reference, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select bdata from {schema}.mt_events where stream_id = $1 and version = $2");
        command.Parameters.Add(new() { Value = reference.Stream.ToString(), NpgsqlDbType = NpgsqlDbType.Varchar });
        command.Parameters.Add(new() { Value = reference.N, NpgsqlDbType = NpgsqlDbType.Bigint });
        return await command.ExecuteScalarAsync(ct) is byte[] bytes && !Gone.IsOne(bytes) && EntryCodec.Read(bytes) is { } entry && entry.Hash == reference.Hash ? entry : null;
    }

    sealed class Found(Dictionary<string, Entry> entries) : ICited
    {
        public Entry? Find(Reference reference) =>
            entries.TryGetValue(reference.Hash, out var entry) && entry.N == reference.N && entry.Envelope.Stream == reference.Stream ? entry : null;
    }
}
