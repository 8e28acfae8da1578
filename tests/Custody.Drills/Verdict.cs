using System.Globalization;
using Npgsql;

namespace Custody.Drills;

/// <summary>Acknowledged acts held against what is stored.</summary>
/// <param name="Acts">Submissions that were answered.</param>
/// <param name="Lost">Entries that were acknowledged and are not stored as acknowledged, or have no place in the log.</param>
/// <param name="Doubled">Entries stored beyond those acknowledged, and submissions that got another answer the second time.</param>
sealed record Comparison(int Acts, int Lost, int Doubled)
{
    /// <summary>Submissions repeated at the end under their keys.</summary>
    const int Repeated = 200;

    public static async Task<Comparison> Make(House house, Doorway door, Acknowledged acknowledged, CancellationToken ct)
    {
        var stored = await Stored(house, ct);
        var told = acknowledged.All.SelectMany(d => d.Told).ToList();
        var lost = told.Count(t => !stored.TryGetValue((t.Stream, t.N), out var s) || s.Hash != t.Hash || !s.HasLeaf);
        // Every submission was answered, so whatever else stands on a stream of the drill was recorded twice.
        var doubled = stored.Count - told.Select(t => (t.Stream, t.N)).Distinct().Count() + (told.Count - told.Distinct().Count());
        foreach (var done in acknowledged.All.OrderBy(d => d.Key, StringComparer.Ordinal).Where((_, i) => i % Math.Max(1, acknowledged.Count / Repeated) == 0))
            if (!(await door.Submit(done.Path, done.Body, done.Key, ct)).SequenceEqual(done.Told)) doubled++;
        return new(acknowledged.Count, lost, doubled + ((await Stored(house, ct)).Count - stored.Count));
    }

    static async Task<Dictionary<(string Stream, long N), (string Hash, bool HasLeaf)>> Stored(House house, CancellationToken ct)
    {
        await using var connection = await house.Cluster.Open("custody", ct);
        // The ledger's own stream is not the drill's; nor are streams of dossiers that were being written.
        await using NpgsqlCommand command = new(
            """
            select e.stream_id, e.version, sha256(e.bdata), l.seq_id is not null from custody.mt_events e left join custody.custody_leaf l on l.seq_id = e.seq_id and l.hash = sha256(e.bdata)
            where e.stream_id like 'bat/%' or e.stream_id like 'party/%'
            """, connection);
        Dictionary<(string, long), (string, bool)> stored = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
            stored.Add((reader.GetString(0), reader.GetInt64(1)), (Text(reader.GetFieldValue<byte[]>(2)), reader.GetBoolean(3)));
        return stored;
    }

    // As hashes stand in answers: base64url without padding.
    static string Text(byte[] hash) => Convert.ToBase64String(hash).TrimEnd('=').Replace('+', '-').Replace('/', '_');
}

/// <summary>The last line, and what the exit code says.</summary>
sealed record Verdict(int Kills, Comparison Compared, bool IsClean)
{
    public bool IsGood => Compared is { Lost: 0, Doubled: 0 } && IsClean;

    public string Line => string.Create(CultureInfo.InvariantCulture,
        $"kills={Kills} acknowledged={Compared.Acts} lost={Compared.Lost} doubled={Compared.Doubled} audit={(IsClean ? "clean" : "faults")}");
}
