using System.Globalization;
using Custody.Server.Finding;
using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>Makes the words of every entry again and compares them with the search index: a bat that cannot be found is as good as hidden. Belongs to what a
/// rebuild makes.</summary>
sealed class SearchAudit(Snapshot snapshot, SearchIndex search, Findings findings)
{
    sealed record Words(HashSet<string> Tokens)
    {
        public bool IsMet { get; set; }
    }

    /// <param name="size">Leaves of the tree.</param>
    public async Task Run(long size, CancellationToken ct)
    {
        var form = await snapshot.Scalar<string>($"select coalesce(obj_description('{snapshot.Schema}.custody_search_progress'::regclass), '')", ct);
        if (form != SearchIndex.Form)
        {
            findings.Remark("search-form", "custody_search", "an earlier version made it; the next start makes it again.");
            return;
        }
        var upTo = await snapshot.Scalar<long>($"select coalesce(max(size), 0) from {snapshot.Schema}.custody_search_progress", ct);
        if (upTo > size) findings.Fault("search-progress", "custody_search_progress", "it is ahead of the log: what comes next would not be found.");
        await using var command = new NpgsqlCommand(
            $"""
            select s.stream, s.n, s.key_id, tsvector_to_array(s.words)
            from {snapshot.Schema}.custody_search s order by s.stream, s.n, s.key_id, s.ctid
            """, await snapshot.Open(ct))
        { CommandTimeout = 0 };
        Dictionary<(string Stream, long N, string KeyId), Words>? due = null;
        var stream = "";
        HashSet<string> met = new(StringComparer.Ordinal);
        await using (var reader = await command.ExecuteReaderAsync(ct))
            while (await reader.ReadAsync(ct))
            {
                var row = (Stream: reader.GetString(0), N: reader.GetInt64(1), KeyId: reader.GetString(2));
                if (due is null || row.Stream != stream)
                {
                    Missed(due);
                    due = await Due(stream = row.Stream, upTo, ct);
                    met.Add(stream);
                }
                if (!due.TryGetValue(row, out var words)) findings.Fault("search-unfounded", Where(row), "no entry has these words under this key.");
                else if (words.IsMet) findings.Fault("search-twice", Where(row), "the row is there twice.");
                else if (!words.Tokens.SetEquals(reader.GetFieldValue<string[]>(3))) findings.Fault("search-other", Where(row), "the words are not those of the entry; 'rebuild' makes them again.");
                words?.IsMet = true;
            }
        Missed(due);
        await Unmet(met, upTo, ct);
    }

    // Streams of which the index has no row at all.
    async Task Unmet(HashSet<string> met, long upTo, CancellationToken ct)
    {
        List<string> others = [];
        await using (var command = new NpgsqlCommand($"select distinct stream from {snapshot.Schema}.custody_leaf where index < $1 and stream is not null", snapshot.First) { CommandTimeout = 0 })
        {
            command.Parameters.Add(new() { Value = upTo });
            await using var reader = await command.ExecuteReaderAsync(ct);
            while (await reader.ReadAsync(ct))
                if (!met.Contains(reader.GetString(0))) others.Add(reader.GetString(0));
        }
        foreach (var stream in others) Missed(await Due(stream, upTo, ct));
    }

    async Task<Dictionary<(string, long, string), Words>> Due(string stream, long upTo, CancellationToken ct)
    {
        List<(long N, byte[] Bytes)> entries = [];
        await using (var command = new NpgsqlCommand(
            $"select e.version, e.bdata from {snapshot.Schema}.custody_leaf l join {snapshot.Schema}.mt_events e using (seq_id) where l.stream = $1 and l.index < $2 and e.bdata is not null order by l.n", snapshot.First))
        {
            command.Parameters.Add(new() { Value = stream });
            command.Parameters.Add(new() { Value = upTo });
            await using var reader = await command.ExecuteReaderAsync(ct);
            while (await reader.ReadAsync(ct)) entries.Add((reader.GetInt64(0), reader.GetFieldValue<byte[]>(1)));
        }
        Dictionary<(string, long, string), Words> due = [];
        try
        {
            foreach (var (n, keyId, tokens) in await search.Words(stream, entries, ct)) due.TryAdd((stream, n, keyId), new([.. tokens]));
        }
        catch (Exception wrong) when (wrong is Transparency.Malformed or System.Security.Cryptography.CryptographicException or ArgumentException or FormatException)
        {
            findings.Fault("search-unreadable", $"custody_search ({stream})", "the entries or values of the stream cannot be read: look at what is found of them.");
        }
        return due;
    }

    void Missed(Dictionary<(string Stream, long N, string KeyId), Words>? due)
    {
        foreach (var (row, _) in due?.Where(d => !d.Value.IsMet) ?? [])
            findings.Fault("search-missing", Where(row), "the row is missing: the entry is not found by these words; 'rebuild' makes it again.");
    }

    static string Where((string Stream, long N, string KeyId) row) => string.Create(CultureInfo.InvariantCulture, $"custody_search ({row.Stream}, {row.N}, {row.KeyId})");
}
