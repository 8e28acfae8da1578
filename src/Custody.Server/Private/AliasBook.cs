using Custody.Bats;
using Marten;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Private;

/// <summary>Which party an alias of a stream is. Private: entries never say it in the open.</summary>
public sealed class AliasBook(NpgsqlDataSource database, KeyRing keys, WithheldValues values, string schema)
{
    /// <summary>What is known of the parties a command names; null in the result for one whose key was destroyed.</summary>
    public async Task<Dictionary<PartyId, KnownParty?>> Look(StreamName stream, IReadOnlyCollection<PartyId> parties, CancellationToken ct)
    {
        var tags = parties.ToDictionary(p => p, p => keys.TagOf(p.ToString()));
        var aliases = await AliasesOf(stream, [.. tags.Values.OfType<byte[]>()], ct);
        Dictionary<PartyId, KnownParty?> known = [];
        foreach (var (party, tag) in tags)
        {
            Alias? alias = tag is not null && aliases.TryGetValue(Convert.ToHexString(tag), out var number) ? new Alias(number) : null;
            known[party] = tag is null ? null
                : alias is not null ? new KnownParty(alias, "")
                : await values.NameOf(party, ct) is { } name ? new KnownParty(null, name) : null;
        }
        return known;
    }

    /// <summary>What a party is called in a stream; null when it has no part in it, or its key was destroyed.</summary>
    public async Task<Alias?> Of(StreamName stream, PartyId party, CancellationToken ct) =>
        keys.TagOf(party.ToString()) is { } tag && await AliasesOf(stream, [tag], ct) is { Count: 1 } found ? new Alias(found.Values.Single()) : null;

    async Task<Dictionary<string, int>> AliasesOf(StreamName stream, byte[][] tags, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select party, alias from {schema}.custody_alias where stream = $1 and party = any($2)");
        command.Parameters.Add(new() { Value = stream.ToString(), NpgsqlDbType = NpgsqlDbType.Text });
        command.Parameters.Add(new() { Value = tags, NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Bytea });
        Dictionary<string, int> found = new(StringComparer.Ordinal);
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) found.Add(Convert.ToHexString(reader.GetFieldValue<byte[]>(0)), reader.GetInt32(1));
        return found;
    }

    /// <summary>Queues the links of newly introduced parties, in the transaction that introduces them.</summary>
    public void Put(IDocumentSession session, StreamName stream, IReadOnlyDictionary<PartyId, Alias> given)
    {
        foreach (var (party, alias) in given)
            session.QueueSqlCommand($"insert into {schema}.custody_alias (stream, alias, party) values (?, ?, ?)",
                stream.ToString(), alias.Number, keys.TagOf(party.ToString())!);
    }

    /// <summary>Every stream in which this party has an alias.</summary>
    public async Task<IReadOnlyList<(StreamName Stream, Alias Alias)>> StreamsOf(PartyId party, CancellationToken ct)
    {
        if (keys.TagOf(party.ToString()) is not { } tag) return [];
        await using var command = database.CreateCommand($"select stream, alias from {schema}.custody_alias where party = $1 order by stream");
        command.Parameters.Add(new() { Value = tag, NpgsqlDbType = NpgsqlDbType.Bytea });
        List<(StreamName, Alias)> found = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) found.Add((StreamName.Parse(reader.GetString(0)), new Alias(reader.GetInt32(1))));
        return found;
    }
}
