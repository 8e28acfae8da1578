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
        TimeBounds bounds = new(trees.Where(t => t.IsIndependent));
        if (bounds.IsEmpty) return Outcome.OnHousesWord("Others timed checkpoints of this ledger, but nobody vouched for them (--policy, --time-root): time is the house's word only.");
        var slack = Promised(reading) + Clocks;
        var (both, some, widest) = (0, 0, TimeSpan.Zero);
        foreach (var line in reading.History.Lines)
        {
            if (line.Form is not { Envelope: { } at } || reading.Places?.Of(line) is not { } index) continue;
            if (Contradiction(at, index, bounds, slack) is { } contradiction) return Outcome.Failed(contradiction);
            var (after, before) = (bounds.LackedBefore(index, at.Recorded, slack), bounds.HeldAt(index));
            if (after is not null && before is not null) both++;
            else if (after is not null || before is not null) some++;
            if (before - after is { } span && span > widest) widest = span;
        }
        return Told(reading.History.Lines.Count, both, some, widest);
    }

    static string? Contradiction(Envelope at, long index, TimeBounds bounds, TimeSpan slack)
    {
        if (bounds.LackedAt(index) is { } without && without - at.Recorded > slack)
            return $"Entry {at.N} says it was recorded {EntryText.Write(at.Recorded)}; the tree that others saw at {EntryText.Write(without)} does not hold it yet.";
        if (bounds.HeldAt(index) is { } with && at.Recorded - with > Clocks)
            return $"Entry {at.N} says it was recorded {EntryText.Write(at.Recorded)}; others saw it in the tree at {EntryText.Write(with)} already.";
        return null;
    }

    static Outcome Told(int entries, int both, int some, TimeSpan widest)
    {
        if (both == entries)
            return Outcome.Passed(string.Create(CultureInfo.InvariantCulture, $"All {entries} entries were recorded between two independently timed checkpoints, at most {TimeBounds.Told(widest)} apart."));
        var left = entries - both - some;
        return Outcome.OnHousesWord(string.Create(
            CultureInfo.InvariantCulture, $"Of {entries} entries {both} were recorded between two independently timed checkpoints, {some} are bounded on one side; of {left} time is the house's word only."));
    }

    /// <summary>How often the ledger promised checkpoints: for so long an entry may be recorded and honestly not yet in a tree.</summary>
    static TimeSpan Promised(HistoryReading reading) =>
        TimeSpan.FromSeconds(reading.Context.Lines.Select(l => l.Entry?.Fact).OfType<LedgerOpened>().FirstOrDefault()?.CheckpointSeconds ?? 0);
}
