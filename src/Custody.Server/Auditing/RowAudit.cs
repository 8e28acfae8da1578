using System.Globalization;
using Custody.Transparency;

namespace Custody.Server.Auditing;

/// <summary>Brings events and leaves together: each event with its own leaf, each stream's entries in an unbroken chain. Both come in nearly the same
/// order, so that few wait for their other half; what is kept for long is one line for each stream.</summary>
sealed class RowAudit(string origin, KeyHistory ledger, Findings findings)
{
    record struct Chain(long N, Hash Head, bool IsRead, DateTimeOffset Recorded, int Rules);

    readonly Dictionary<long, EventLook> events = [];
    readonly Dictionary<long, LeafRow> leaves = [];
    readonly Dictionary<string, Chain> streams = new(StringComparer.Ordinal);

    public long Events { get; private set; }

    public long Gone { get; private set; }

    public long Unnamed { get; private set; }

    /// <summary>Every stream met, with the number of its last entry.</summary>
    public IEnumerable<(string Stream, long N)> Streams => streams.Select(s => (s.Key, s.Value.N));

    /// <summary>The events whose leaf has not come.</summary>
    public IReadOnlyCollection<EventRow> Waiting => [.. events.Values.Select(e => e.Row)];

    public void Take(EventLook look)
    {
        Events++;
        Follow(look);
        // Its bytes are no longer needed, and it may wait.
        look = look with { Row = look.Row with { Bytes = null } };
        if (leaves.Remove(look.Row.SeqId, out var leaf)) Match(look, leaf);
        else if (!events.TryAdd(look.Row.SeqId, look)) findings.Fault("row-twice", look.Row.Where, "another row has this sequence number.");
    }

    public void Take(LeafRow leaf)
    {
        if (leaf.SeqId is not { } seq)
        {
            Unnamed++;
            if (!ledger.WasLost(leaf.Index)) findings.Fault("leaf-unnamed", leaf.Where, "the record belongs to no entry, and no restore says that it was lost.");
        }
        else if (events.Remove(seq, out var look)) Match(look, leaf);
        else if (!leaves.TryAdd(seq, leaf)) findings.Fault("leaf-twice", leaf.Where, "another leaf belongs to the same event.");
    }

    void Match(EventLook look, LeafRow leaf)
    {
        var where = look.Row.Where;
        if (look.Hash != leaf.Record.Entry)
            findings.Fault("entry-changed", where, string.Create(CultureInfo.InvariantCulture, $"the bytes no longer have the hash that the log holds at index {leaf.Index}."));
        if (leaf.Stream != look.Stream || leaf.N != look.N)
            findings.Fault("leaf-place", leaf.Where, $"its event is {look.Stream} {look.N.ToString(CultureInfo.InvariantCulture)}.");
        if (look.N > 0 && SlotTag.Compute(origin, look.Stream, look.N) != leaf.Record.Slot)
            findings.Fault("leaf-tag", leaf.Where, "the slot tag is not that of its entry.");
        if (look.IsGone && !ledger.WasLost(leaf.Index))
            findings.Fault("entry-removed", where, "a line stands here for an entry that is gone, and no restore says that it was lost.");
        if (look.IsGone) Gone++;
    }

    void Follow(EventLook look)
    {
        var where = look.Row.Where;
        streams.TryGetValue(look.Stream, out var before);
        if (look.N <= before.N) findings.Fault("chain-twice", where, string.Create(CultureInfo.InvariantCulture, $"the stream had entry {before.N} already."));
        else if (look.N > before.N + 1)
            findings.Fault("entries-missing", where, string.Create(CultureInfo.InvariantCulture, $"entries {before.N + 1} to {look.N - 1} of the stream are missing before it."));
        else if (look.IsRead && !look.IsGone)
        {
            if (before.N == 0 ? look.Prev is not null : look.Prev != before.Head.Text)
                findings.Fault("chain-broken", where, string.Create(CultureInfo.InvariantCulture, $"it does not hold the hash of entry {before.N}."));
            if (look.Recorded < before.Recorded) findings.Fault("chain-time", where, "it was recorded before the entry before it.");
            if (look.Rules < before.Rules) findings.Fault("chain-rules", where, "it was decided under older rules than the entry before it.");
        }
        if (look.N <= before.N) return;
        streams[look.Stream] = look.IsGone
            ? before with { N = look.N, Head = look.Hash }
            : new(look.N, look.Hash, look.IsRead, look.Recorded, look.Rules);
    }

    /// <summary>After the last row of both: halves that are left over.</summary>
    /// <param name="pending">Sequence numbers that wait for their place in the log.</param>
    public void End(IReadOnlySet<long> pending)
    {
        foreach (var look in events.Values.Where(e => !pending.Contains(e.Row.SeqId)))
            findings.Fault("event-without-leaf", look.Row.Where, "it is not in the log, and does not wait to be.");
        foreach (var leaf in leaves.Values) findings.Fault("leaf-without-event", leaf.Where, "its event is missing.");
        foreach (var seq in pending.Where(p => !events.ContainsKey(p)))
            findings.Fault("pending-unfounded", string.Create(CultureInfo.InvariantCulture, $"custody_pending seq_id {seq}"), "no event waits under this number.");
    }
}
