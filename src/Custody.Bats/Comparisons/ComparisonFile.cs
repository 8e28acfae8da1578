using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>Where the bats of a comparison file come from: a collection is never the population itself.</summary>
public enum CollectedFrom
{
    PublishedPictures,
    HouseRecords,
    PublicCollection,
    PrivateCollection,
    Several,
}

/// <summary>Other professionals' bats, player by player: what a habit is rare or common against.</summary>
public sealed record ComparisonFile : StreamState<ComparisonFile>
{
    /// <summary>By the number of the <c>ComparisonCharacteristicDefined</c>.</summary>
    public ImmutableSortedDictionary<long, Characteristic> Characteristics { get; init; } = ImmutableSortedDictionary<long, Characteristic>.Empty;

    /// <summary>By the number of the <c>ComparisonOccasionRecorded</c>.</summary>
    public ImmutableSortedDictionary<long, Occasion> Occasions { get; init; } = ImmutableSortedDictionary<long, Occasion>.Empty;

    /// <summary>Entry number of each version, from 1.</summary>
    public ImmutableSortedDictionary<long, long> Versions { get; init; } = ImmutableSortedDictionary<long, long>.Empty;

    /// <summary>A source was taken out again: opinions under earlier versions may rest on it.</summary>
    public bool HasWithdrawn => Occasions.Values.Any(o => o.Withdrawn is not null);

    /// <summary>The counts as the file now stands, each player's apart.</summary>
    public IReadOnlyList<ValueCounts> Counts() => Tally.Of(Characteristics, Occasions);
}

/// <summary>A fact on a comparison file's stream.</summary>
public abstract record ComparisonFact : Fact<ComparisonFile>
{
    public sealed override IEnumerable<Refusal> Permit(ComparisonFile file, Entry entry, ICited cited) =>
        file.Exists == this is ComparisonFileOpened
            ? [new(file.Exists ? "file-opened-already" : "file-not-opened", "A file begins with its opening, and only with it.",
                "Open the file first, once.")]
            : PermitOn(file, entry, cited);

    /// <summary>The act's own rule, on an opened file (or its opening).</summary>
    protected abstract IEnumerable<Refusal> PermitOn(ComparisonFile file, Entry entry, ICited cited);
}

/// <summary>A command on a comparison file's stream.</summary>
public abstract record ComparisonCommand : Command<ComparisonFile>;
