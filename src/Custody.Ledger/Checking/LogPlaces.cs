using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Which place in the log each line of a history and its context has, found by the proofs and by nothing else.</summary>
sealed class LogPlaces
{
    // A forged dossier may hold many proofs that fit nothing; each is tried on every line left, within this bound.
    const int MostTries = 2_000_000;

    readonly Dictionary<HistoryLine, long> indexes = new(ReferenceEqualityComparer.Instance);
    readonly List<string> faults = [];
    int tries;

    /// <summary>Place of a line; null when no proof fits it.</summary>
    internal long? Of(HistoryLine line) => indexes.TryGetValue(line, out var index) ? index : null;

    /// <summary>What is wrong, in the order it was noticed; empty when every line has its proof and every proof its line.</summary>
    internal IReadOnlyList<string> Faults => faults;

    /// <summary>Whether the lines of the context stand in the order of the log.</summary>
    internal bool ContextInOrder { get; private set; }

    internal static LogPlaces Find(
        Checkpoint checkpoint, ReadOnlyMemory<byte> checkpointBytes, IReadOnlyDictionary<long, ReadOnlyMemory<byte>> proofs, ProvenLines lines)
    {
        var places = new LogPlaces();
        var history = lines.History.Where(l => lines.LeafOf(l) is not null).ToList();
        var context = lines.Context.Where(l => lines.LeafOf(l) is not null).ToList();
        // A line that cannot be read has a proof too, which can then fit nothing: check 2 has named the line.
        var unreadable = lines.History.Concat(lines.Context).Count(l => lines.LeafOf(l) is null);
        foreach (var (index, bytes) in proofs.OrderBy(p => p.Key))
            if (places.Open(index, bytes, checkpointBytes) is { } proof && !places.Place(proof, checkpoint, lines, history, context) && unreadable-- <= 0)
                places.faults.Add($"the proof for index {proof.Index} fits no entry of this dossier");
        if (!places.Ascending(lines.History.OrderBy(l => l.N))) places.faults.Add("the log holds the entries of this history in another order");
        places.ContextInOrder = places.Ascending(lines.Context);
        foreach (var line in history) places.faults.Add($"no proof fits line {line.Number} of history.jsonl");
        foreach (var line in context) places.faults.Add($"no proof fits line {line.Number} of context.jsonl");
        return places;
    }

    TlogProof? Open(long index, ReadOnlyMemory<byte> bytes, ReadOnlyMemory<byte> checkpoint)
    {
        try
        {
            var proof = TlogProof.Parse(bytes.Span);
            if (proof.Index != index) faults.Add($"the proof named {index} is one for index {proof.Index}");
            else if (!proof.Checkpoint.Span.SequenceEqual(checkpoint.Span)) faults.Add($"the proof for index {index} carries another checkpoint");
            else if (proof.Extra is not null) faults.Add($"the proof for index {index} carries bytes that nobody vouches for");
            else return proof;
        }
        catch (Malformed malformed)
        {
            faults.Add($"the proof for index {index} cannot be read: {malformed.Sentence}");
        }
        return null;
    }

    // Both files follow the log's order, so the next line of one of them fits as a rule. Only where that fails all others are tried.
    bool Place(TlogProof proof, Checkpoint checkpoint, ProvenLines lines, List<HistoryLine> history, List<HistoryLine> context)
    {
        return Take(history, 0, 1) || Take(context, 0, 1) || Take(history, 1, history.Count) || Take(context, 1, context.Count);

        bool Take(List<HistoryLine> left, int from, int to)
        {
            for (var i = from; i < to && i < left.Count && tries < MostTries; i++, tries++)
            {
                if (!Fits(proof, checkpoint, lines, left[i])) continue;
                indexes[left[i]] = proof.Index;
                left.RemoveAt(i);
                return true;
            }
            return false;
        }
    }

    bool Ascending(IEnumerable<HistoryLine> all)
    {
        var placed = all.Where(indexes.ContainsKey).Select(l => indexes[l]).ToList();
        return placed.Zip(placed.Skip(1)).All(pair => pair.First < pair.Second);
    }

    static bool Fits(TlogProof proof, Checkpoint checkpoint, ProvenLines lines, HistoryLine line) =>
        Merkle.VerifyInclusion(lines.LeafOf(line)!.Value, proof.Index, checkpoint.Size, proof.Proof, checkpoint.Root);
}

/// <summary>The lines that need proof, with the leaf each must be in the log: entry hash and slot tag.</summary>
sealed class ProvenLines
{
    readonly Dictionary<HistoryLine, Hash> leaves = new(ReferenceEqualityComparer.Instance);

    internal ProvenLines(IReadOnlyList<HistoryLine> history, IReadOnlyList<HistoryLine> context)
    {
        (History, Context) = (history, context);
        // A line for an entry that is gone says neither ledger nor stream: those of the lines around it.
        var around = history.FirstOrDefault(l => l.Form is not null)?.Form!.Envelope;
        foreach (var line in history)
            if (LeafOf(line, around) is { } leaf) leaves[line] = leaf;
        foreach (var line in context)
            if (LeafOf(line, null) is { } leaf) leaves[line] = leaf;
    }

    internal IReadOnlyList<HistoryLine> History { get; }

    internal IReadOnlyList<HistoryLine> Context { get; }

    internal Hash? LeafOf(HistoryLine line) => leaves.TryGetValue(line, out var leaf) ? leaf : null;

    static Hash? LeafOf(HistoryLine line, Bats.Envelope? around)
    {
        if ((line.Form?.Envelope ?? around) is not { } at || line.Hash is not { } hash || line.N is not { } n) return null;
        return new LogRecord(Hash.Parse(hash), SlotTag.Compute(at.Ledger, at.Stream.ToString(), n)).Leaf();
    }
}
