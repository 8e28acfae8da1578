namespace Custody.Evidence;

/// <summary>A bound on the days of a moment, or on the days between two neighbouring ones.</summary>
readonly record struct Restraint(string Id, BatMoment Moment, DaySet? Days, BatMoment To, long Least, long Most);

/// <summary>
/// The order of a bat's moments: made and ordered before shipped, shipped before first use, first use before any use, any use before the last,
/// made before marked; the same day is allowed. This order is a tree, so passing each moment's possible days on to its neighbour is exact. Any
/// part of its restraints can be asked about, as bits: conflicts are found by asking thousands of times.
/// </summary>
sealed class Timeline(IReadOnlyList<Restraint> restraints)
{
    /// <summary>Most restraints: as many as fit the bits.</summary>
    public const int MostRestraints = 128;

    static readonly int Moments = Enum.GetValues<BatMoment>().Length;

    static readonly (BatMoment From, BatMoment To)[] Steps =
    [
        (BatMoment.Made, BatMoment.Shipped), (BatMoment.Ordered, BatMoment.Shipped), (BatMoment.Shipped, BatMoment.FirstUse),
        (BatMoment.FirstUse, BatMoment.Used), (BatMoment.Used, BatMoment.LastUse), (BatMoment.Made, BatMoment.Marked),
    ];

    readonly Restraint[] all = [.. restraints];

    public static bool AreNeighbours(BatMoment from, BatMoment to) => Steps.Contains((from, to));

    /// <summary>Every restraint, as bits.</summary>
    public UInt128 All => all.Length == MostRestraints ? UInt128.MaxValue : (UInt128.One << all.Length) - 1;

    public string IdOf(int restraint) => all[restraint].Id;

    /// <summary>Whether these restraints leave a day of use, within a season if one is given.</summary>
    public bool Agree(UInt128 set, DaySet? season) => season is null ? !UseDays(set).IsEmpty : !UseDays(set).And(season).IsEmpty;

    /// <summary>The days on which the bat can have been used; empty when the restraints contradict one another.</summary>
    public DaySet UseDays(UInt128 set)
    {
        var days = new DaySet[Moments];
        Array.Fill(days, DaySet.All);
        Span<(long Least, long Most)> between = stackalloc (long, long)[Steps.Length];
        between.Fill((0, long.MaxValue));
        for (var i = 0; i < all.Length; i++)
        {
            if ((set >> i & 1) == 0)
                continue;
            ref readonly var r = ref all[i];
            if (r.Days is not null)
                days[(int)r.Moment] = days[(int)r.Moment].And(r.Days);
            else
                Narrow(ref between[Array.IndexOf(Steps, (r.Moment, r.To))], r);
        }
        return Passed(days, between);
    }

    static void Narrow(ref (long Least, long Most) known, in Restraint lag) =>
        known = (Math.Max(known.Least, lag.Least), Math.Min(known.Most, lag.Most));

    // By place in Steps.
    static DaySet Passed(DaySet[] days, ReadOnlySpan<(long Least, long Most)> between)
    {
        var made = days[(int)BatMoment.Made].And(Back(days[(int)BatMoment.Marked], between[5]));
        var shipped = days[(int)BatMoment.Shipped].And(On(made, between[0])).And(On(days[(int)BatMoment.Ordered], between[1]));
        var first = days[(int)BatMoment.FirstUse].And(On(shipped, between[2]));
        return days[(int)BatMoment.Used].And(On(first, between[3])).And(Back(days[(int)BatMoment.LastUse], between[4]));
    }

    static DaySet On(DaySet days, (long Least, long Most) lag) =>
        lag.Most < lag.Least ? DaySet.None : days.Later(lag.Least, lag.Most == long.MaxValue ? null : lag.Most);

    static DaySet Back(DaySet days, (long Least, long Most) lag) =>
        lag.Most < lag.Least ? DaySet.None : days.Earlier(lag.Least, lag.Most == long.MaxValue ? null : lag.Most);
}
