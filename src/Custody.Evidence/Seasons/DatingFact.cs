namespace Custody.Evidence;

/// <summary>The moments in a bat's life that facts bound. There is no "date of the bat".</summary>
public enum BatMoment
{
    /// <summary>Turned and branded. A maker's mark period bounds this, not use.</summary>
    Made,

    /// <summary>Ordered by club or player.</summary>
    Ordered,

    /// <summary>Shipped by the maker.</summary>
    Shipped,

    /// <summary>Given a marking, such as a uniform number.</summary>
    Marked,

    /// <summary>First used in play.</summary>
    FirstUse,

    /// <summary>Used in play; the moment whose seasons are asked for.</summary>
    Used,

    /// <summary>Last used in play, by damage or leaving the club at latest.</summary>
    LastUse,
}

/// <summary>A fact that places a moment within stated dates.</summary>
/// <param name="Id">Name by which results refer to it.</param>
/// <param name="Moment">The moment it bounds.</param>
/// <param name="Within">The moment lies within one of these, each taken from its earliest to its latest day; several for several stints.</param>
/// <param name="IsUsual">A usual bound, which narrows what is likely; otherwise a hard one, which excludes.</param>
/// <param name="IsAboutPlayer">Holds only if the player in question used the bat (tenure, uniform number by season).</param>
/// <param name="Source">Where it stands.</param>
public sealed record DatingFact(string Id, BatMoment Moment, IReadOnlyList<Edtf> Within, bool IsUsual, bool IsAboutPlayer, string Source);

/// <summary>The usual time between two neighbouring moments; always a usual bound, never a hard one.</summary>
/// <param name="Id">Name by which results refer to it; shares the names of facts.</param>
/// <param name="From">The earlier moment.</param>
/// <param name="To">The later moment, next to it: made-shipped, ordered-shipped, shipped-first use, first use-used, used-last use, made-marked.</param>
/// <param name="LeastDays">Least days between them, 0 or more.</param>
/// <param name="MostDays">Most days between them.</param>
/// <param name="Source">Where it stands, or "common practice".</param>
public sealed record UsualLag(string Id, BatMoment From, BatMoment To, long LeastDays, long MostDays, string Source);

/// <summary>One run of feasible seasons (calendar years). Null where nothing bounds it.</summary>
/// <param name="First">First season.</param>
/// <param name="Last">Last season.</param>
/// <param name="FirstBoundBy">Every smallest set of facts that together exclude the season before.</param>
/// <param name="LastBoundBy">Every smallest set of facts that together exclude the season after.</param>
public sealed record FeasibleRun(long? First, long? Last, ConflictList FirstBoundBy, ConflictList LastBoundBy);

/// <summary>
/// Minimal conflicting sets of facts, by id: without any one member the rest agree. Incomplete when the search was cut off after a stated
/// number of steps; then some sets are not listed, but none listed is wrong.
/// </summary>
public sealed record ConflictList(IReadOnlyList<IReadOnlyList<string>> Sets, bool IsComplete);

/// <summary>Feasible seasons under one proposition.</summary>
/// <param name="Hard">What the hard facts leave.</param>
/// <param name="Usual">What hard and usual facts and lags together leave.</param>
/// <param name="Conflicts">Why the hard facts leave nothing; empty otherwise.</param>
/// <param name="UsualConflicts">Why all facts together leave nothing; empty otherwise.</param>
/// <param name="Spent">Facts used here; none of them also scores under "who", unless conditioned on the season.</param>
/// <param name="RestsOnQualified">Some date is marked uncertain or approximate; the bounds are as written.</param>
public sealed record SeasonsView(IReadOnlyList<FeasibleRun> Hard, IReadOnlyList<FeasibleRun> Usual, ConflictList Conflicts, ConflictList UsualConflicts,
    IReadOnlyList<string> Spent, bool RestsOnQualified);

/// <summary>Feasible seasons for the bat alone, and if the player in question used it.</summary>
public sealed record FeasibleSeasons(SeasonsView BatAlone, SeasonsView UnderPlayer);
