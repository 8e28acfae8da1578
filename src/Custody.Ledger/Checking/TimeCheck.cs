using System.Globalization;
using Custody.Bats;

namespace Custody.Ledger;

/// <summary>Check 14: each time of recording lies between two independently timed checkpoints.</summary>
static class TimeCheck
{
    /// <summary>How far honest clocks may be apart; common practice.</summary>
    static readonly TimeSpan Clocks = TimeSpan.FromMinutes(5);

    internal static Outcome Recorded(HistoryReading reading, TimelinePoints points)
    {
        if (points.Fault is { } fault) return Outcome.Failed(fault);
        var trees = points.Trees.ToList();
        if (trees.Count == 0) return Outcome.OnHousesWord("There is no independently timed checkpoint in this dossier: time is the house's word only.");
        var independent = trees.Where(t => t.IsIndependent).ToList();
        var promised = Promised(reading);
        var (both, some) = (0, 0);
        foreach (var line in reading.History.Lines)
        {
            if (line.Form is not { Envelope: { } at } || reading.Places?.Of(line) is not { } index) continue;
            // A tree that somebody other than the ledger timed convicts the ledger's clock whoever it was; it acquits only if the reader trusts them.
            if (Contradiction(at, index, independent, promised) is { } contradiction) return Outcome.Failed(contradiction);
            var (before, after) = (independent.Exists(t => t.Size <= index), independent.Exists(t => t.Size > index));
            if (before && after) both++;
            else if (before || after) some++;
        }
        return Told(reading.History.Lines.Count, both, some, independent.Count);
    }

    static string? Contradiction(Envelope at, long index, IReadOnlyList<TimedTree> trees, TimeSpan promised)
    {
        if (trees.LastOrDefault(t => t.Size <= index) is { } without && at.Recorded < without.Time - promised - Clocks)
            return $"Entry {at.N} says it was recorded {EntryText.Write(at.Recorded)}; the tree that others saw at {EntryText.Write(without.Time)} does not hold it yet.";
        if (trees.FirstOrDefault(t => t.Size > index) is { } with && at.Recorded > with.Time + Clocks)
            return $"Entry {at.N} says it was recorded {EntryText.Write(at.Recorded)}; others saw it in the tree at {EntryText.Write(with.Time)} already.";
        return null;
    }

    static Outcome Told(int entries, int both, int some, int independent)
    {
        if (independent == 0) return Outcome.OnHousesWord("Others timed checkpoints of this ledger, but nobody vouched for them (--policy, --time-root): time is the house's word only.");
        if (both == entries) return Outcome.Passed(string.Create(CultureInfo.InvariantCulture, $"All {entries} entries were recorded between two independently timed checkpoints."));
        var left = entries - both - some;
        return Outcome.OnHousesWord(string.Create(
            CultureInfo.InvariantCulture, $"Of {entries} entries {both} were recorded between two independently timed checkpoints, {some} are bounded on one side; of {left} time is the house's word only."));
    }

    /// <summary>How often the ledger promised checkpoints: for so long an entry may be recorded and honestly not yet in a tree.</summary>
    static TimeSpan Promised(HistoryReading reading) =>
        TimeSpan.FromSeconds(reading.Context.Lines.Select(l => l.Entry?.Fact).OfType<LedgerOpened>().FirstOrDefault()?.CheckpointSeconds ?? 0);
}
