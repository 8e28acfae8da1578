namespace Custody.Evidence;

/// <summary>A bound on the days of a moment, or on the days between two neighbouring ones.</summary>
readonly record struct Restraint(string Id, BatMoment Moment, DaySet? Days, BatMoment To, long Least, long Most);

/// <summary>
/// The order of a bat's moments: made and ordered before shipped, shipped before first use, first use before any use, any use before the last,
/// made before marked; the same day is allowed. This order is a tree, so passing each moment's possible days on to its neighbour is exact.
/// </summary>
static class Timeline
{
    static readonly (BatMoment From, BatMoment To)[] Steps =
    [
        (BatMoment.Made, BatMoment.Shipped), (BatMoment.Ordered, BatMoment.Shipped), (BatMoment.Shipped, BatMoment.FirstUse),
        (BatMoment.FirstUse, BatMoment.Used), (BatMoment.Used, BatMoment.LastUse), (BatMoment.Made, BatMoment.Marked),
    ];

    public static bool AreNeighbours(BatMoment from, BatMoment to) => Steps.Contains((from, to));

    /// <summary>The days on which the bat can have been used; empty when the restraints contradict one another.</summary>
    public static DaySet UseDays(IReadOnlyList<Restraint> restraints)
    {
        var marked = Days(restraints, BatMoment.Marked);
        var made = Days(restraints, BatMoment.Made).And(Back(restraints, BatMoment.Made, BatMoment.Marked, marked));
        var shipped = Days(restraints, BatMoment.Shipped)
            .And(On(restraints, BatMoment.Made, BatMoment.Shipped, made))
            .And(On(restraints, BatMoment.Ordered, BatMoment.Shipped, Days(restraints, BatMoment.Ordered)));
        var first = Days(restraints, BatMoment.FirstUse).And(On(restraints, BatMoment.Shipped, BatMoment.FirstUse, shipped));
        return Days(restraints, BatMoment.Used)
            .And(On(restraints, BatMoment.FirstUse, BatMoment.Used, first))
            .And(Back(restraints, BatMoment.Used, BatMoment.LastUse, Days(restraints, BatMoment.LastUse)));
    }

    static DaySet Days(IReadOnlyList<Restraint> restraints, BatMoment moment)
    {
        var days = DaySet.All;
        foreach (var r in restraints)
        {
            if (r.Days is not null && r.Moment == moment)
                days = days.And(r.Days);
        }
        return days;
    }

    static DaySet On(IReadOnlyList<Restraint> restraints, BatMoment from, BatMoment to, DaySet days)
    {
        var (least, most) = Between(restraints, from, to);
        return most < least ? DaySet.Of([]) : days.Later(least, most);
    }

    static DaySet Back(IReadOnlyList<Restraint> restraints, BatMoment from, BatMoment to, DaySet days)
    {
        var (least, most) = Between(restraints, from, to);
        return most < least ? DaySet.Of([]) : days.Earlier(least, most);
    }

    static (long Least, long? Most) Between(IReadOnlyList<Restraint> restraints, BatMoment from, BatMoment to)
    {
        var (least, most) = (0L, (long?)null);
        foreach (var r in restraints)
        {
            if (r.Days is null && r.Moment == from && r.To == to)
                (least, most) = (Math.Max(least, r.Least), most is null ? r.Most : Math.Min(most.Value, r.Most));
        }
        return (least, most);
    }
}
