using System.Globalization;
using Custody.Bats;

namespace Custody.Ledger;

/// <summary>Entries that a restore lost: gone still, or put back after others had been decided without them. A restore is an open entry of the ledger, so
/// whoever would hide behind one shows it, and the check says "not checked", never "passed".</summary>
sealed class LostEntries(HistoryReading reading, LogPlaces places)
{
    readonly List<(long At, long First, long Last)> restores = [.. reading.Context.Lines
        .Where(l => l.Entry?.Fact is LedgerRestored && places.Of(l) is not null)
        .Select(l => (places.Of(l)!.Value, ((LedgerRestored)l.Entry!.Fact).FirstIndex, ((LedgerRestored)l.Entry.Fact).LastIndex))];

    /// <summary>Why a refusal of an entry of this stream says nothing; null when nothing of the stream was lost before it was decided.</summary>
    internal Func<HistoryLine, string?> Excuse(IReadOnlyList<HistoryLine> stream) => line =>
        places.Of(line) is { } index && stream.FirstOrDefault(l => WasLostBefore(l, index)) is { N: { } lost }
            ? string.Create(CultureInfo.InvariantCulture, $"entry {line.N} would not be permitted after all that is here, but it was decided while entry {lost} was lost")
            : null;

    /// <summary>Whether an entry of this stream is gone, or was once lost.</summary>
    internal bool Touches(IReadOnlyList<HistoryLine> stream) => stream.Any(l => l.Gone is not null || WasLostBefore(l, long.MaxValue));

    bool WasLostBefore(HistoryLine line, long index) => places.Of(line) is { } at && restores.Exists(r => at >= r.First && at <= r.Last && r.At < index);

    /// <summary>The history's entries, with something in the place of each that is gone, and of each that cannot be followed without one of those: the end of a
    /// label whose issue is gone ends nothing that is here.</summary>
    internal static IEnumerable<Entry> Filled(HistoryReading reading, Func<HistoryLine, Entry?> entry)
    {
        Entry? before = null;
        var (state, hasLost) = (new Bat(), false);
        foreach (var line in reading.History.Lines)
        {
            hasLost |= line.Gone is not null;
            var here = line.Gone is { } gone ? EntryGone.At(reading.Origin, reading.First!.Stream, gone.N, gone.Hash, before) : entry(line)!;
            if (hasLost && Followed(state, here) is null) here = EntryGone.At(reading.Origin, reading.First!.Stream, here.N, here.Hash, before);
            state = state.Fold(here);
            yield return before = here;
        }
    }

    static Bat? Followed(Bat state, Entry entry)
    {
        try
        {
            return state.Fold(entry);
        }
        catch (Exception unfit) when (unfit is KeyNotFoundException or InvalidOperationException or ArgumentException or NullReferenceException)
        {
            return null; // It names what is gone; it is told as it was recorded.
        }
    }
}
