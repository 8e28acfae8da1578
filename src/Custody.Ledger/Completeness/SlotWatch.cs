using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Looks for the slot tags of known streams among the records of a log. Costs one look-up for each record; only the tags of known places and
/// of a few that would follow are ever computed.</summary>
public sealed class SlotWatch(string ledger)
{
    /// <summary>How far beyond the last entry seen places are watched for; one after another is the rule of the log, a dishonest one may break it.</summary>
    const int Ahead = 16;

    sealed record Place(string Stream, long N, LogRecord? Record, long? Index);

    readonly Dictionary<Hash, Place> places = [];
    readonly Dictionary<string, long> watchedTo = new(StringComparer.Ordinal);
    readonly List<SlotSeen> later = [];
    readonly List<SecondSeen> second = [];

    /// <summary>Places found that were not known before, in the order of the log.</summary>
    public IReadOnlyList<SlotSeen> Later => later;

    /// <summary>Places found at an index besides their own.</summary>
    public IReadOnlyList<SecondSeen> Second => second;

    /// <summary>A place known to stand at this index.</summary>
    public void Know(string stream, long n, long index, Hash entry)
    {
        var tag = SlotTag.Compute(ledger, stream, n);
        places[tag] = new(stream, n, new LogRecord(entry, tag), index);
    }

    /// <summary>Watches for what follows entry <paramref name="last"/> of a stream.</summary>
    public void Follow(string stream, long last)
    {
        for (var n = Math.Max(last, watchedTo.GetValueOrDefault(stream)) + 1; n <= last + Ahead; n++)
            places.TryAdd(SlotTag.Compute(ledger, stream, n), new(stream, n, null, null));
        watchedTo[stream] = Math.Max(last + Ahead, watchedTo.GetValueOrDefault(stream));
    }

    /// <summary>Looks at one record of the log.</summary>
    public void See(long index, LogRecord record)
    {
        if (!places.TryGetValue(record.Slot, out var place) || place.Index == index) return;
        if (place.Index is { } known)
        {
            second.Add(new(place.Stream, place.N, known, place.Record!.Value, index, record));
            return;
        }
        places[record.Slot] = place with { Record = record, Index = index };
        later.Add(new(place.Stream, place.N, index, record));
        Follow(place.Stream, place.N);
    }
}

/// <summary>A place of a stream found in the log.</summary>
public sealed record SlotSeen(string Stream, long N, long Index, LogRecord Record);

/// <summary>A place of a stream found twice.</summary>
public sealed record SecondSeen(string Stream, long N, long FirstIndex, LogRecord First, long Index, LogRecord Record);
