using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Something shown to the examiner besides the bat.</summary>
/// <param name="Entry">Number of the <c>Unmasked</c>.</param>
/// <param name="AfterLock">True when the findings had been locked by then.</param>
public sealed record Unmasking(long Entry, Stage Stage, SeenHow How, bool AfterLock)
{
    /// <summary>Entries of this bat that were shown.</summary>
    public ImmutableList<long> Shown { get; init; } = [];
}

/// <summary>One examination, by the number of its <c>ExaminationOpened</c>.</summary>
/// <param name="Locked">Number of its <c>FindingsLocked</c>.</param>
/// <param name="Closed">Number of its <c>ExaminationClosed</c>.</param>
public sealed record Examination(
    Alias Examiner, Alias House, ExaminedFrom From, Blinding Blinding, ImmutableList<KnownBefore> KnownBefore, long? Locked, long? Closed,
    ExaminationOutcome? Outcome)
{
    /// <summary>Confidence of each finding as it stands, by finding number.</summary>
    public ImmutableSortedDictionary<int, Confidence> Findings { get; init; } = ImmutableSortedDictionary<int, Confidence>.Empty;

    /// <summary>Findings of damage as they stand, also that none was seen, by finding number.</summary>
    public ImmutableSortedDictionary<int, DamageNoted> Damage { get; init; } = ImmutableSortedDictionary<int, DamageNoted>.Empty;

    /// <summary>What a grade reads of each finding as it stands, by finding number.</summary>
    public ImmutableSortedDictionary<int, FindingHeld> Held { get; init; } = ImmutableSortedDictionary<int, FindingHeld>.Empty;

    /// <summary>Findings once taken back: their numbers are not given again.</summary>
    public ImmutableSortedSet<int> TakenBack { get; init; } = ImmutableSortedSet<int>.Empty;

    public ImmutableList<Unmasking> Unmasked { get; init; } = [];

    /// <summary>Numbers of its <c>FindingsRevised</c>.</summary>
    public ImmutableList<long> Revised { get; init; } = [];

    /// <summary>True when an opinion may rest on it (rule 4): closed, and not given up.</summary>
    public bool Counts(Corrections corrections) => corrections.Stands(Closed) && Outcome != ExaminationOutcome.GivenUp;
}

/// <summary>Damage, or its absence, as an examination found it.</summary>
public sealed record DamageNoted(FindingKind Kind, Presence Presence, SurfacePlace? Place, Quantity? Measure);

/// <summary>Examinations of this bat, open and closed.</summary>
public sealed record Examinations
{
    public ImmutableSortedDictionary<long, Examination> ByEntry { get; init; } = ImmutableSortedDictionary<long, Examination>.Empty;

    internal Examinations With(long n, Func<Examination, Examination> change) => this with { ByEntry = ByEntry.SetItem(n, change(ByEntry[n])) };

    /// <summary>The refusal when the examination is not there, is void, or belongs to another examiner.</summary>
    internal static Refusal? Refuse(Bat bat, long n, Alias? by) =>
        Grounds.Refuse(bat, bat.Examinations.ByEntry, n, "examination")
        ?? (bat.Examinations.ByEntry[n].Examiner == by ? null
            : new("not-the-examiner", "Only the examiner records what was found in an examination.", "Have the examiner record it."));
}
