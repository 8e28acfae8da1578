using System.Text;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Puts evidence together from notes that somebody kept and, where it can be had, the public log. What it returns the judge has convicted.</summary>
public static class MisconductSearch
{
    /// <summary>Everything a dossier holds that its ledgers signed: their keys, checkpoints and heads.</summary>
    public static (IReadOnlyList<VerifierKey> Keys, IReadOnlyList<string> Notes) In(DossierContent dossier)
    {
        var readings = dossier.Parts.Select(p => new HistoryReading(p)).ToList();
        var notes = dossier.Parts.SelectMany(p => new[] { p.Checkpoint, p.Head }).Where(n => n is not null).Select(n => Encoding.UTF8.GetString(n!.Value.Span));
        return ([.. readings.SelectMany(r => r.Keys.Value?.All ?? []).Distinct()], [.. notes]);
    }

    /// <summary>Looks for what convicts a ledger by one dossier alone: two entries of one place, or an entry that its own head leaves out, proved by the
    /// dossier's proofs.</summary>
    /// <returns>Null when nothing was found.</returns>
    public static Misconduct? Within(DossierContent dossier) => dossier.Parts.Select(p => new HistoryReading(p))
        .Where(r => r.Places is not null).SelectMany(r => (r.Keys.Value?.All ?? []).Select(k => Within(r, k))).FirstOrDefault(m => m is not null);

    static Misconduct? Within(HistoryReading reading, VerifierKey key)
    {
        var lines = reading.Lines.Where(l => l.Form is not null && reading.Places!.Of(l) is not null).Select(l => Seen(reading, l)).ToList();
        ProvenRecord Proven(SlotSeen seen) => new(seen.Index, seen.Record, TlogProof.Parse(reading.Part.Proofs[seen.Index].Span).Proof);
        var twice = lines.GroupBy(s => s.Record.Slot).FirstOrDefault(g => g.Select(s => s.Index).Distinct().Count() > 1)?.DistinctBy(s => s.Index).Take(2).ToList();
        if (twice is not null && Signed(reading.Part.Checkpoint, key) is { } tree)
            return Judged(new(MisconductKind.SecondEntry, key, [tree.Note]) { Records = [.. twice.Select(Proven)] });
        if (Signed(reading.Part.Head, key) is not { Head: { } head } signed) return null;
        var denied = lines.FirstOrDefault(s => s.Stream == head.Stream && (s.N > head.N || (s.N == head.N && s.Record.Entry != head.Entry)));
        return denied is null ? null : Judged(new(MisconductKind.DeniedEntry, key, [signed.Note]) { Records = [Proven(denied)], N = denied.N });
    }

    static SlotSeen Seen(HistoryReading reading, HistoryLine line)
    {
        var at = line.Form!.Envelope;
        var record = new LogRecord(Hash.Parse(line.Hash!), SlotTag.Compute(at.Ledger, at.Stream.ToString(), at.N));
        return new(at.Stream.ToString(), at.N, reading.Places!.Of(line)!.Value, record);
    }

    static SignedTree? Signed(ReadOnlyMemory<byte>? note, VerifierKey key) =>
        note is { } there ? SignedTree.Read(Encoding.UTF8.GetString(there.Span), key, out _) : null;

    static Misconduct? Judged(Misconduct evidence) => MisconductJudge.Judge(evidence).Convicts ? evidence : null;

    /// <summary>What a checkpoint that was cosigned and a request that was refused because of it prove together.</summary>
    /// <param name="keys">Keys of the ledger.</param>
    /// <returns>Null when they prove nothing by themselves: an honest checkpoint with a proof that leads nowhere; or a size that is a power of two, from which the
    /// proof leaves the earlier root out (RFC 9162 section 2.1.4.2), so that the log's own tiles are needed (<see cref="Find"/>).</returns>
    public static Misconduct? Refused(IEnumerable<VerifierKey> keys, string cosigned, AddCheckpoint request)
    {
        if (ReadNote(cosigned) is not { } earlier) return null;
        if (keys.FirstOrDefault(k => CosignRules.Convicts(k, earlier, request)) is not { } key) return null;
        var (first, second) = (Checkpoint.Read(earlier), Checkpoint.Read(request.Checkpoint));
        var proof = new Misconduct(MisconductKind.TwoTrees, key, [cosigned, Encoding.UTF8.GetString(request.Checkpoint.ToArray())]);
        return first.Size == second.Size ? proof
            : proof with { Prefix = Merkle.EarlierRoot(first.Size, second.Size, second.Root, request.Proof), Consistency = request.Proof };
    }

    static SignedNote? ReadNote(string text)
    {
        try
        {
            return SignedNote.Parse(Encoding.UTF8.GetBytes(text));
        }
        catch (Malformed)
        {
            return null; // no note, so nobody's word
        }
    }

    /// <summary>Two trees of one size under two keys of one ledger: no proof of this kind, because each key signed one tree; together with the entries that changed the
    /// key they show that the ledger told two histories.</summary>
    /// <returns>The two keys and the size; null when there are none.</returns>
    public static (VerifierKey One, VerifierKey Other, long Size)? AcrossKeys(IEnumerable<VerifierKey> keys, IEnumerable<string> notes)
    {
        var trees = keys.Distinct().SelectMany(k => notes.Select(n => SignedTree.Read(n, k, out _)).OfType<SignedTree>().Select(t => (Key: k, Tree: t))).ToList();
        foreach (var (key, tree) in trees)
            if (trees.FirstOrDefault(o => o.Key != key && o.Tree.Origin == tree.Origin && o.Tree.Size == tree.Size && o.Tree.Root != tree.Root) is { Key: { } other })
                return (key, other, tree.Size);
        return null;
    }

    /// <summary>Looks for anything that convicts this key.</summary>
    /// <param name="notes">Signed notes; those of other keys are passed over.</param>
    /// <param name="log">The ledger's public log; null when only the notes are compared. The tags of the whole log are held in memory then.</param>
    /// <returns>Null when nothing was found.</returns>
    /// <exception cref="LogUnavailable">The log cannot be read.</exception>
    public static Misconduct? Find(VerifierKey key, IEnumerable<string> notes, IPublicLog? log)
    {
        var trees = notes.Select(n => SignedTree.Read(n, key, out _)).OfType<SignedTree>().DistinctBy(t => t.Note).ToList();
        if (SameSize(key, trees) is { } two) return two;
        if (log is null) return null;
        var newest = SignedTree.Read(Encoding.UTF8.GetString(log.Checkpoint().Span), key, out var fault)
            ?? throw new LogUnavailable("log-key", $"The log's checkpoint is not this key's. {fault}");
        return SameSize(key, [newest, .. trees]) ?? InLog(key, [.. trees.Where(t => t.Size <= newest.Size)], newest, log);
    }

    static Misconduct? SameSize(VerifierKey key, IReadOnlyList<SignedTree> trees) => trees.GroupBy(t => t.Size)
        .Select(g => (One: g.First(), Other: g.FirstOrDefault(t => t.Root != g.First().Root)))
        .Where(p => p.Other is not null).Select(p => TwoTrees(key, p.One, p.Other!, null)).FirstOrDefault();

    static Misconduct? InLog(VerifierKey key, IReadOnlyList<SignedTree> trees, SignedTree newest, IPublicLog log)
    {
        var heads = trees.Where(t => t.Head is not null).Select(t => (Tree: t, Watch: WatchOf(t.Head!))).ToList();
        Dictionary<Hash, (long Index, LogRecord Record)> first = [];
        List<SecondSeen> second = [];
        void See(long index, LogRecord record)
        {
            if (!first.TryAdd(record.Slot, (index, record))) second.Add(new("", 0, first[record.Slot].Index, first[record.Slot].Record, index, record));
            foreach (var (tree, watch) in heads)
                if (index < tree.Size) watch.See(index, record);
        }
        var roots = LogPass.Over(log, new(newest.Origin, newest.Size, newest.Root), new(), trees.Select(t => t.Size), See);
        var hashes = LogPass.Hashes(log, newest.Size);
        if (trees.FirstOrDefault(t => roots[t.Size] != t.Root) is { } other) return TwoTrees(key, other, newest, hashes, roots[other.Size]);
        if (second.Count > 0) return SecondEntry(key, newest, second[0], hashes);
        return heads.Select(h => Denied(key, h.Tree, h.Watch, hashes)).FirstOrDefault(d => d is not null);
    }

    static SlotWatch WatchOf(Head head)
    {
        var watch = new SlotWatch(head.Origin);
        // Any index but one that cannot be: the named entry is found wherever it stands, and compared with what the head calls it.
        watch.Know(head.Stream, head.N, -1, head.Entry);
        watch.Follow(head.Stream, head.N);
        return watch;
    }

    static Misconduct? Denied(VerifierKey key, SignedTree head, SlotWatch watch, HashReader hashes)
    {
        if (watch.Later is [var later, ..]) return DeniedEntry(key, head, later, hashes);
        return watch.Second.FirstOrDefault(s => s.Record.Entry != head.Head!.Entry) is { } other
            ? DeniedEntry(key, head, new(other.Stream, other.N, other.Index, other.Record), hashes)
            : null;
    }

    internal static Misconduct TwoTrees(VerifierKey key, SignedTree one, SignedTree other, HashReader? ofOther, Hash? prefix = null) =>
        Convicting(new(MisconductKind.TwoTrees, key, [one.Note, other.Note])
        {
            Prefix = one.Size == other.Size ? null : prefix,
            Consistency = one.Size == other.Size ? [] : Merkle.ConsistencyProof(one.Size, other.Size, ofOther!),
        });

    internal static Misconduct SecondEntry(VerifierKey key, SignedTree tree, SecondSeen seen, HashReader hashes) =>
        Convicting(new(MisconductKind.SecondEntry, key, [tree.Note])
        {
            Records = [Proven(seen.FirstIndex, seen.First, tree.Size, hashes), Proven(seen.Index, seen.Record, tree.Size, hashes)],
        });

    internal static Misconduct DeniedEntry(VerifierKey key, SignedTree head, SlotSeen seen, HashReader hashes) =>
        Convicting(new(MisconductKind.DeniedEntry, key, [head.Note]) { Records = [Proven(seen.Index, seen.Record, head.Size, hashes)], N = seen.N });

    static ProvenRecord Proven(long index, LogRecord record, long size, HashReader hashes) => new(index, record, Merkle.InclusionProof(index, size, hashes));

    // The hash tiles are not under the root that the records gave: where they differ, the evidence would not convict and is not handed out.
    static Misconduct Convicting(Misconduct evidence) => MisconductJudge.Judge(evidence) is { Convicts: false, Sentence: var why }
        ? throw new LogUnavailable("log-tiles", $"Something was found, but the log's hash tiles do not prove it. {why}")
        : evidence;
}
