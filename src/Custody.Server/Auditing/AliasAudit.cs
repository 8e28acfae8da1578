using System.Globalization;
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
            while (await reader.ReadAsync(ct))
                if (!tags.TryAdd(reader.GetInt32(0), reader.GetFieldValue<byte[]>(1))) findings.Fault("alias-twice", Row(stream, reader.GetInt32(0)), "the row is there twice.");
        }
        foreach (var (party, alias) in parties)
        {
            // A destroyed key takes the link with it.
            if (keys.TagOf(party) is not { } tag) continue;
            if (!tags.TryGetValue(alias.Number, out var kept)) findings.Fault("alias-missing", Row(stream, alias.Number), "the row is missing: the party would get a second alias.");
            else if (!kept.AsSpan().SequenceEqual(tag)) findings.Fault("alias-other", Row(stream, alias.Number), "the row links the alias to another party than the entry does.");
        }
        parties.Clear();
    }

    /// <summary>Rows that link an alias which no entry introduces: whoever acts next would be taken for somebody the stream never named.</summary>
    public async Task Unfounded(CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(
            $"""
            select a.stream, a.alias from {snapshot.Schema}.custody_alias a where not exists (select from {snapshot.Schema}.custody_withheld w
            where w.stream = a.stream and w.name = 'partyStream' and w.pointer like '%/p' || a.alias)
            """, snapshot.First)
        { CommandTimeout = 600 };
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) findings.Fault("alias-unfounded", Row(reader.GetString(0), reader.GetInt32(1)), "no entry of the stream introduces this alias.");
    }

    static string Row(string stream, int alias) => string.Create(CultureInfo.InvariantCulture, $"custody_alias ({stream}, p{alias})");
}
