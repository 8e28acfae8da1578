using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>One player's documented bats: characteristics, independent occasions, and versions of the counts that opinions cite.</summary>
public sealed record HabitFile : StreamState<HabitFile>
{
    public Alias? Player { get; init; }

    /// <summary>By the number of the <c>CharacteristicDefined</c>.</summary>
    public ImmutableSortedDictionary<long, Characteristic> Characteristics { get; init; } = ImmutableSortedDictionary<long, Characteristic>.Empty;

    /// <summary>By the number of the <c>OccasionRecorded</c>.</summary>
    public ImmutableSortedDictionary<long, Occasion> Occasions { get; init; } = ImmutableSortedDictionary<long, Occasion>.Empty;

    /// <summary>Entry number of each version, from 1.</summary>
    public ImmutableSortedDictionary<long, long> Versions { get; init; } = ImmutableSortedDictionary<long, long>.Empty;

    /// <summary>Where he is usually seen to do something, by the number of the <c>UsualZoneRecorded</c>.</summary>
    public ImmutableSortedDictionary<long, UsualZone> Zones { get; init; } = ImmutableSortedDictionary<long, UsualZone>.Empty;

    /// <summary>Zones that count: not replaced, and every occasion that documents one stands, because its extent may rest on any of them.</summary>
    /// <param name="own">Occasions that are the compared bat's own: a zone that any of them documents says nothing about that bat.</param>
    public IEnumerable<KeyValuePair<long, UsualZone>> ZonesThatCount(IReadOnlySet<long> own) =>
        Standing.Where(z => !z.Value.Occasions.Exists(own.Contains));

    /// <summary>Zones that would count but for the bat's own occasions.</summary>
    public IEnumerable<long> ZonesOfItsOwn(IReadOnlySet<long> own) => Standing.Where(z => z.Value.Occasions.Exists(own.Contains)).Select(z => z.Key);

    IEnumerable<KeyValuePair<long, UsualZone>> Standing =>
        Zones.Where(z => z.Value.Replaced is null && z.Value.Occasions.TrueForAll(n => Occasions[n].Withdrawn is null));

    /// <summary>A source was taken out again: opinions under earlier versions may rest on it.</summary>
    public bool HasWithdrawn => Occasions.Values.Any(o => o.Withdrawn is not null);

    /// <summary>The counts as the file now stands.</summary>
    public IReadOnlyList<ValueCounts> Counts() => Tally.Of(Characteristics, Occasions);
}

/// <summary>Where on a bat he is usually seen to do one thing.</summary>
/// <param name="Value">Which named value; null for whichever it is.</param>
/// <param name="Replaced">Number of the entry that took its place.</param>
public sealed record UsualZone(long Characteristic, int? Value, SurfacePlace Place, ImmutableList<long> Occasions, long? Replaced);

/// <summary>A fact on a habit file's stream.</summary>
public abstract record HabitFact : Fact<HabitFile>
{
    public sealed override IEnumerable<Refusal> Permit(HabitFile file, Entry entry, ICited cited) =>
        file.Exists == this is HabitFileOpened
            ? [new(file.Exists ? "file-opened-already" : "file-not-opened", "A file begins with its opening, and only with it.",
                "Open the file first, once.")]
            : PermitOn(file, entry, cited);

    /// <summary>The act's own rule, on an opened file (or its opening).</summary>
    protected abstract IEnumerable<Refusal> PermitOn(HabitFile file, Entry entry, ICited cited);
}

/// <summary>A command on a habit file's stream.</summary>
public abstract record HabitCommand : Command<HabitFile>;
