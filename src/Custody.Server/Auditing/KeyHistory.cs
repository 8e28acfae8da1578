using Custody.Bats;
using Custody.Ledger;
using Custody.Transparency;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Auditing;

/// <summary>What the ledger's own stream says of keys and of restores.</summary>
sealed class KeyHistory
{
    /// <param name="UpTo">Tree size up to which the key counts.</param>
    sealed record Period(VerifierKey Key, long From, long UpTo);

    readonly string origin;
    readonly List<Period> periods = [];
    readonly List<(long First, long Last)> lost = [];

    KeyHistory(string origin) => this.origin = origin;

    /// <summary>Whether a restore told that the record at this index came back from the tiles alone.</summary>
    public bool WasLost(long index) => lost.Exists(r => index >= r.First && index <= r.Last);

    public static async Task<KeyHistory> Read(Snapshot snapshot, Findings findings, CancellationToken ct)
    {
        var history = new KeyHistory(snapshot.Origin);
        await using var command = new NpgsqlCommand(
            $"select seq_id, stream_id, version, bdata from {snapshot.Schema}.mt_events where stream_id = (select min(id) from {snapshot.Schema}.mt_streams where id like 'ledger/%') order by version", snapshot.First);
        var state = new LedgerState();
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
        {
            var row = new EventRow(reader.GetInt64(0), reader.GetString(1), reader.GetInt64(2), reader.GetFieldValue<byte[]>(3), "", false, true);
            // What is malformed here is found by the scan of all events.
            if (Gone.IsOne(row.Bytes) || EntryCodec.Fault(row.Bytes) is not null) continue;
            var entry = EntryCodec.Read(row.Bytes);
            if (entry.Fact is LedgerRestored restored) history.lost.Add((restored.FirstIndex, restored.LastIndex));
            if (entry.Fact is Fact<LedgerState> fact) state = fact.Apply(state, entry);
        }
        history.Follow(state, findings);
        return history;
    }

    void Follow(LedgerState state, Findings findings)
    {
        // A ledger that is not open yet names no key and has signed nothing: whatever was signed all the same fails by having no key.
        if (state.Key.Length == 0) return;
        var from = 0L;
        foreach (var (key, upTo) in state.EarlierKeys.Select(k => (k.Key, k.UpTo)).Append((state.Key, long.MaxValue)))
        {
            try
            {
                periods.Add(new(VerifierKey.Parse(key), from, upTo));
            }
            catch (Malformed)
            {
                findings.Fault("ledger-key", "the ledger's own stream", "it names no key that can be read; no signature can be checked.");
            }
            from = upTo;
        }
    }

    /// <summary>Why this note is no checkpoint of the ledger's; null when it is signed by the key that counted at its size.</summary>
    public string? WhyNot(SignedNote note, Checkpoint checkpoint)
    {
        if (checkpoint.Origin != origin) return $"it is one of {checkpoint.Origin}.";
        var verdict = note.Verify([.. periods.Where(p => checkpoint.Size >= p.From && checkpoint.Size <= p.UpTo).Select(p => p.Key)]);
        return verdict.Holds ? null : $"it is not signed by the key that counted at that size. {verdict.Sentence}";
    }
}
