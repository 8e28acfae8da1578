using Custody.Bats;
using Custody.Server.Private;
using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>One party, one alias in a stream; and the private table that links them says the same as the entries. Outsiders can look at this only when
/// both are disclosed. Wants the values in the order of streams.</summary>
sealed class AliasAudit(Snapshot snapshot, KeyRing keys, Findings findings)
{
    readonly Dictionary<string, Alias> parties = new(StringComparer.Ordinal);
    string stream = "";

    public async Task Take(string of, string pointer, string party, CancellationToken ct)
    {
        if (of != stream)
        {
            await End(ct);
            stream = of;
        }
        if (!Alias.TryParse(pointer[(pointer.LastIndexOf('/') + 1)..], out var alias)) return;
        if (!parties.TryAdd(party, alias)) findings.Fault("alias-twice", $"{stream} {alias}", $"the party has the alias {parties[party]} in this stream already.");
    }

    /// <summary>After the last value of a stream.</summary>
    public async Task End(CancellationToken ct)
    {
        if (parties.Count == 0) return;
        Dictionary<int, byte[]> tags = [];
        await using (var command = new NpgsqlCommand($"select alias, party from {snapshot.Schema}.custody_alias where stream = $1", snapshot.First))
        {
            command.Parameters.Add(new() { Value = stream });
            await using var reader = await command.ExecuteReaderAsync(ct);
            while (await reader.ReadAsync(ct)) tags[reader.GetInt32(0)] = reader.GetFieldValue<byte[]>(1);
        }
        foreach (var (party, alias) in parties)
        {
            // A destroyed key takes the link with it.
            if (keys.TagOf(party) is not { } tag) continue;
            if (!tags.TryGetValue(alias.Number, out var kept)) findings.Fault("alias-missing", $"custody_alias ({stream}, {alias})", "the row is missing: the party would get a second alias.");
            else if (!kept.AsSpan().SequenceEqual(tag)) findings.Fault("alias-other", $"custody_alias ({stream}, {alias})", "the row links the alias to another party than the entry does.");
        }
        parties.Clear();
    }
}
