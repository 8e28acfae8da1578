using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace Custody.Bats;

/// <summary>How the record of a bat comes to go on elsewhere, or nowhere.</summary>
public enum EndingKind
{
    SameBat,
    Divided,
    Joined,
    Destroyed,
}

/// <summary>The entry that ended this record, and the entry where it goes on.</summary>
/// <param name="GoesOn">Null when it goes on nowhere, or in several pieces (see <see cref="Identity.Divisions"/>).</param>
public sealed record Ending(EndingKind Kind, long Entry, Reference? GoesOn);

/// <summary>A baseline: who recorded it, when.</summary>
public sealed record Baseline(Alias? By, DateTimeOffset Recorded);

/// <summary>One comparison of the bat with a baseline.</summary>
public sealed record IdentityCheck(long Baseline, IdentityResult Result, CheckOccasion Occasion);

/// <summary>A younger record of the same bat.</summary>
/// <param name="Other">The younger record's registration.</param>
public sealed record Duplicate(Reference Other, bool Withdrawn);

/// <summary>Which piece of wood this is: baselines, checks, duplicates, mix-ups, division, destruction.</summary>
public sealed record Identity
{
    /// <summary>Null while the record goes on here.</summary>
    public Ending? Ending { get; init; }

    /// <summary>Baselines by the number of the <c>BaselineRecorded</c>.</summary>
    public ImmutableSortedDictionary<long, Baseline> Baselines { get; init; } = ImmutableSortedDictionary<long, Baseline>.Empty;

    /// <summary>Checks by the entry that made them: a check of its own, or a receipt.</summary>
    public ImmutableSortedDictionary<long, IdentityCheck> Checks { get; init; } = ImmutableSortedDictionary<long, IdentityCheck>.Empty;

    /// <summary>Younger records of this bat, by the number of the <c>DuplicateFound</c>.</summary>
    public ImmutableSortedDictionary<long, Duplicate> Duplicates { get; init; } = ImmutableSortedDictionary<long, Duplicate>.Empty;

    /// <summary>Mix-ups by the number of the <c>MixUpFound</c>.</summary>
    public ImmutableSortedDictionary<long, MixUp> MixUps { get; init; } = ImmutableSortedDictionary<long, MixUp>.Empty;

    /// <summary>The pieces' registrations, by the number of the <c>BatDivided</c>.</summary>
    public ImmutableSortedDictionary<long, ImmutableList<Reference>> Divisions { get; init; } =
        ImmutableSortedDictionary<long, ImmutableList<Reference>>.Empty;

    /// <summary>The pieces' registrations, by the number of the <c>PartsJoined</c>.</summary>
    public ImmutableSortedDictionary<long, ImmutableList<Reference>> Joins { get; init; } =
        ImmutableSortedDictionary<long, ImmutableList<Reference>>.Empty;

    /// <summary>Why the record of this bat does not go on here, or null while it does.</summary>
    [JsonIgnore]
    public Refusal? End => Ending switch
    {
        null => null,
        { Kind: EndingKind.SameBat } end => new("declared-same",
            $"This record was declared the same bat as an older one (entry {end.Entry}).",
            "Record it on the older bat, or reopen this record."),
        { Kind: EndingKind.Divided } end => new("bat-divided", $"This bat was divided (entry {end.Entry}).",
            "Record it on the piece it concerns, or join the pieces."),
        { Kind: EndingKind.Joined } end => new("piece-joined", $"This piece was joined into a whole (entry {end.Entry}).",
            "Record it on the whole, or reopen this record."),
        var end => new("bat-destroyed", $"This bat was destroyed (entry {end.Entry}).", "Reopen the record if the bat still exists."),
    };

    internal Identity After(long n, IdentityCheck check) => this with { Checks = Checks.Add(n, check) };

    /// <summary>True when the latest standing check that came to a result found another piece of wood.</summary>
    public bool InDoubt(Corrections corrections) =>
        Checks.Where(c => !corrections.IsVoid(c.Key)).Select(c => c.Value.Result)
            .LastOrDefault(result => result != IdentityResult.CannotTell) == IdentityResult.Different;
}
