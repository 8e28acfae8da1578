using System.Globalization;
using System.Text;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>A tree that stood at a time, on somebody's word.</summary>
/// <param name="Size">Leaves of the tree.</param>
/// <param name="Time">By when it stood.</param>
/// <param name="IsIndependent">Whether the reader trusts those who say so: cosigners of the reader's policy, or a root given.</param>
/// <param name="IsNewest">Whether it was the newest tree then: a cosigner goes on from tree to tree, but anyone can have an old one stamped late.</param>
sealed record TimedTree(long Size, DateTimeOffset Time, bool IsIndependent, bool IsNewest);

/// <summary>The timed checkpoints of one ledger's part of a dossier: those of the timeline and the dossier's own.</summary>
sealed class TimelinePoints
{
    readonly List<TimedTree> trees = [];

    /// <summary>Trees in ascending size.</summary>
    internal IEnumerable<TimedTree> Trees => trees.OrderBy(t => t.Size);

    /// <summary>Why the timeline does not hold; null when it does, also when it is empty.</summary>
    internal string? Fault { get; private set; }

    /// <summary>What check 9 says of the stamps.</summary>
    internal Outcome Stamps { get; private set; } = Outcome.NotChecked("There are no time stamps in this dossier.");

    internal static TimelinePoints Read(HistoryReading reading, Expected expected)
    {
        TimelinePoints points = new();
        if (reading.Checkpoint.Value is not { } latest || reading.Keys.Value is not { } keys) return points;
        if (reading.Part.Checkpoint is { } own) points.trees.AddRange(Cosigned(SignedNote.Parse(own.Span), latest, reading, expected));
        List<Outcome> stamped = [];
        foreach (var (size, files) in BySize(reading.Part.Timeline))
        {
            if (points.Point(size, files, latest, keys) is not { } note) continue;
            List<TimedTree> said = [.. Cosigned(note, Checkpoint.Read(note), reading, expected)];
            if (files.GetValueOrDefault("tsr") is { Length: > 0 } response)
            {
                var verdict = TimeStamp.Verify(response, TimeStamp.Covered(note, keys.All), expected.TimeRoots);
                stamped.Add(Stamped(size, verdict));
                if (verdict.Time is { } time) said.Add(new(size, time, verdict.IsTrusted, IsNewest: false));
            }
            // What a compromised key signed counts if somebody trusted saw it before the compromise was told; otherwise it is left aside: anyone may have signed it.
            var seen = said.Where(t => t.IsIndependent).Select(t => (DateTimeOffset?)t.Time).Min();
            if (note.Verify(keys.InForceAt(size, seen)).Holds) points.trees.AddRange(said);
        }
        if (stamped.Count > 0) points.Stamps = Worst(stamped);
        return points;
    }

    static IEnumerable<(long Size, Dictionary<string, ReadOnlyMemory<byte>> Files)> BySize(IReadOnlyDictionary<string, ReadOnlyMemory<byte>> timeline) => timeline
        .GroupBy(f => f.Key[..f.Key.IndexOf('.', StringComparison.Ordinal)], StringComparer.Ordinal)
        .Select(g => (long.Parse(g.Key, NumberStyles.None, CultureInfo.InvariantCulture),
            g.ToDictionary(f => f.Key[(g.Key.Length + 1)..], f => f.Value, StringComparer.Ordinal)))
        .OrderBy(p => p.Item1);

    /// <summary>One checkpoint of the timeline: signed by the ledger, and the beginning of the dossier's own tree.</summary>
    SignedNote? Point(long size, Dictionary<string, ReadOnlyMemory<byte>> files, Checkpoint latest, LedgerKeys keys)
    {
        try
        {
            if (!files.TryGetValue("checkpoint", out var bytes)) return Bad(size, "the checkpoint itself is missing");
            var note = SignedNote.Parse(bytes.Span);
            var checkpoint = Checkpoint.Read(note);
            if (checkpoint.Origin != latest.Origin || checkpoint.Size != size) return Bad(size, "it is the checkpoint of another ledger or size");
            // Whether a key that was compromised later still counts is asked when it is known who saw the checkpoint.
            if (!note.Verify(keys.InForceAt(size, seen: DateTimeOffset.MinValue)).Holds) return Bad(size, "it is not signed by the ledger's key");
            var proof = files.TryGetValue("consistency", out var lines) ? Proof(lines.Span) : [];
            if (!Merkle.VerifyConsistency(size, checkpoint.Root, latest.Size, latest.Root, proof)) return Bad(size, "the dossier's tree does not go on from it");
            return note;
        }
        catch (Malformed malformed)
        {
            return Bad(size, malformed.Sentence);
        }
    }

    SignedNote? Bad(long size, string why)
    {
        Fault ??= string.Create(CultureInfo.InvariantCulture, $"The timed checkpoint of size {size} does not hold: {why}.");
        return null;
    }

    static List<Hash> Proof(ReadOnlySpan<byte> file)
    {
        if (file.Length > 0 && file[^1] != (byte)'\n') throw new Malformed("consistency", "the last line does not end");
        return [.. Encoding.ASCII.GetString(file).Split('\n')[..^1].Select(line => Hash.ParseStandard(line))];
    }

    /// <summary>What cosignatures under a checkpoint say: the time by which enough cosigners had seen it.</summary>
    static IEnumerable<TimedTree> Cosigned(SignedNote note, Checkpoint checkpoint, HistoryReading reading, Expected expected)
    {
        if (expected.Policy is { AsksForCosigners: true } policy)
        {
            if (Seen(note, policy.Cosigners.Select(c => c.Key), policy.IsSatisfiedBy) is { } time) yield return new(checkpoint.Size, time, true, IsNewest: true);
            yield break;
        }
        // Those whom the ledger itself named when it was opened: its own choice, so no independent word.
        if (Opened(reading) is not { Cosigners.Count: > 0 } opened) yield break;
        var named = opened.Cosigners.Select(Named).OfType<VerifierKey>().ToList();
        if (Seen(note, named, keys => keys.Count() >= Math.Max(1, opened.Quorum)) is { } said) yield return new(checkpoint.Size, said, false, IsNewest: true);
    }

    // Whoever opened the ledger may have named what is no key: then nobody, and no crash.
    static VerifierKey? Named(string text)
    {
        try
        {
            return VerifierKey.Parse(text);
        }
        catch (Malformed)
        {
            return null;
        }
    }

    static LedgerOpened? Opened(HistoryReading reading) => reading.Context.Lines.Select(l => l.Entry?.Fact).OfType<LedgerOpened>().FirstOrDefault();

    static DateTimeOffset? Seen(SignedNote note, IEnumerable<VerifierKey> cosigners, Func<IEnumerable<VerifierKey>, bool> enough)
    {
        // A cosigner's bad line, or one of a time beyond any calendar, is no cosignature; it takes nothing from the others.
        var seen = cosigners.Where(k => k.Type == VerifierKey.Cosignature).Select(key => (Key: key, Verdict: note.Verify(key)))
            .Where(v => v.Verdict.Holds && v.Verdict.Signatures[0].Time is >= 0 and <= 253_402_300_799)
            .Select(v => (v.Key, Time: v.Verdict.Signatures[0].Time!.Value)).OrderBy(v => v.Time).ToList();
        for (var count = 1; count <= seen.Count; count++)
            if (enough(seen.Take(count).Select(v => v.Key))) return DateTimeOffset.FromUnixTimeSeconds(seen[count - 1].Time);
        return null;
    }

    static Outcome Stamped(long size, StampVerdict verdict) => verdict.Time is null
        ? Outcome.Failed(string.Create(CultureInfo.InvariantCulture, $"The time stamp of size {size}: {verdict.Fault}"))
        : verdict.IsTrusted
            ? Outcome.Passed($"Stamped by {verdict.Authority}.")
            : Outcome.OnHousesWord($"Stamped by {verdict.Authority}. {verdict.Fault} Give its root certificate (--time-root), got elsewhere.");

    static Outcome Worst(List<Outcome> stamped)
    {
        var worst = stamped.Find(o => o.HasFailed) ?? stamped.Find(o => o.Result == CheckResult.OnHousesWord) ?? stamped[0];
        return stamped.Count == 1 || worst.HasFailed ? worst : worst with { Reason = string.Create(CultureInfo.InvariantCulture, $"{stamped.Count} time stamps. {worst.Reason}") };
    }
}
