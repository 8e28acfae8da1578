using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Private;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Recording;

/// <summary>One stream as it was recorded: the entries' own bytes in order, a line in place of one that is gone.</summary>
public sealed record StoredHistory(StreamName Stream, IReadOnlyList<byte[]> Bytes)
{
    /// <summary>The entries. On a bat something stands in for one that is gone, so that entry n stays at its place; of other streams it is left out.</summary>
    /// <param name="values">Disclosures to fill in, by entry number.</param>
    public IReadOnlyList<Entry> Entries(ILookup<long, string>? values = null)
    {
        var ledger = Bytes.FirstOrDefault(b => !Gone.IsOne(b)) is { } first ? EntryForm.Read(first).Envelope.Ledger : "";
        List<Entry> entries = [];
        for (var i = 0; i < Bytes.Count; i++)
        {
            if (!Gone.IsOne(Bytes[i])) entries.Add(EntryCodec.Read(Bytes[i], values?[i + 1]));
            else if (Stream.Kind == "bat") entries.Add(EntryGone.At(ledger, Stream, i + 1, Gone.Read(Bytes[i]).Hash, entries.LastOrDefault()));
        }
        return entries;
    }
}

/// <summary>Reads whole streams, straight from the stored bytes.</summary>
public sealed class Histories(NpgsqlDataSource database, WithheldValues withheld, string schema)
{
    /// <summary>The stream's bytes; empty when there is no such stream.</summary>
    public async Task<StoredHistory> Load(StreamName stream, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select bdata from {schema}.mt_events where stream_id = $1 order by version");
        command.Parameters.Add(new() { Value = stream.ToString(), NpgsqlDbType = NpgsqlDbType.Varchar });
        List<byte[]> bytes = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) bytes.Add(reader.GetFieldValue<byte[]>(0));
        return new(stream, bytes);
    }

    /// <summary>The entries with their open fields only: what anybody may read.</summary>
    public async Task<IReadOnlyList<Entry>> Open(StreamName stream, CancellationToken ct) => (await Load(stream, ct)).Entries();

    /// <summary>The entries with every withheld value that has not been erased: for the house itself.</summary>
    public async Task<IReadOnlyList<Entry>> Shown(StreamName stream, CancellationToken ct)
    {
        var history = await Load(stream, ct);
        return history.Entries((await withheld.Of(stream, ct)).ToLookup(v => v.N, v => v.Disclosure));
    }

    /// <summary>Where the newest entry of the whole ledger stands; null while there is none.</summary>
    public async Task<(StreamName Stream, long N)?> Last(CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select stream_id, version from {schema}.mt_events order by seq_id desc limit 1");
        await using var reader = await command.ExecuteReaderAsync(ct);
        return await reader.ReadAsync(ct) ? (StreamName.Parse(reader.GetString(0)), reader.GetInt64(1)) : null;
    }

    /// <summary>Every stream of a kind, oldest first.</summary>
    public async Task<IReadOnlyList<StreamName>> All(string kind, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select id from {schema}.mt_streams where id like $1 order by created, id");
        command.Parameters.Add(new() { Value = kind + "/%", NpgsqlDbType = NpgsqlDbType.Text });
        List<StreamName> names = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) names.Add(StreamName.Parse(reader.GetString(0)));
        return names;
    }
}
