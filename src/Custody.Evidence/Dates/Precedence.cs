namespace Custody.Evidence;

/// <summary>What bounds allow to be said of a relation.</summary>
public enum Certainty
{
    /// <summary>No reading of the dates has it so.</summary>
    Excluded,

    /// <summary>Some readings have it so, others not.</summary>
    Possible,

    /// <summary>Every reading of the dates, as written, has it so.</summary>
    Certain,
}

/// <summary>A number of days between two bounds. Most is null when nothing limits it.</summary>
public readonly record struct DayCount(long Least, long? Most);

/// <summary>How two dated values stand in time: what the bounds make certain, leave possible, or exclude.</summary>
/// <param name="EndsBefore">The first ended on an earlier day than the second began.</param>
/// <param name="Overlap">They share at least one day.</param>
/// <param name="Gap">Whole days after the first ended and before the second began; 0 when there are none.</param>
/// <param name="RestsOnQualified">Some date in either is marked uncertain or approximate: read "certain" as "certain as written".</param>
public sealed record Precedence(Certainty EndsBefore, Certainty Overlap, DayCount Gap, bool RestsOnQualified)
{
    /// <summary>Compares two values. An unknown end is no limit, as far as "never ends before it began" allows.</summary>
    public static Precedence Between(Edtf first, Edtf second)
    {
        var pairs = first.Alternatives.SelectMany(a => second.Alternatives.Select(b => (a, b))).ToList();
        return new Precedence(
            Over(pairs, p => p.a.EndHi < p.b.StartLo, p => p.a.EndLo < p.b.StartHi),
            Over(pairs, p => p.a.StartHi <= p.b.EndLo && p.b.StartHi <= p.a.EndLo, p => p.a.StartLo <= p.b.EndHi && p.b.StartLo <= p.a.EndHi),
            new DayCount(pairs.Min(p => Extended.Apart(p.b.StartLo, p.a.EndHi) ?? 0), Extended.Max(pairs.Select(p => Extended.Apart(p.b.StartHi, p.a.EndLo)))),
            first.IsQualified || second.IsQualified);
    }

    static Certainty Over(List<(Alternative a, Alternative b)> pairs, Func<(Alternative a, Alternative b), bool> always,
        Func<(Alternative a, Alternative b), bool> ever) =>
        pairs.TrueForAll(p => always(p)) ? Certainty.Certain : pairs.Exists(p => ever(p)) ? Certainty.Possible : Certainty.Excluded;
}

/// <summary>Arithmetic on day numbers with no limit towards past and future.</summary>
static class Extended
{
    /// <summary>
    /// Whole days strictly between an end and a later start, at least 0; null when nothing limits them. A start that never comes or an end in
    /// the endless past leaves no limit; an end that never comes or a start in the endless past leaves no days.
    /// </summary>
    public static long? Apart(long start, long end)
    {
        if (start == Alternative.Past || end == Alternative.Future)
            return 0;
        if (start == Alternative.Future || end == Alternative.Past)
            return null;
        return Math.Max(0, start - end - 1);
    }

    /// <summary>Days from a start to a later end, at least 0; null when nothing limits them.</summary>
    public static long? Beyond(long end, long start)
    {
        if (end == Alternative.Past || start == Alternative.Future)
            return 0;
        if (end == Alternative.Future || start == Alternative.Past)
            return null;
        return Math.Max(0, end - start);
    }

    /// <summary>The largest; null (no limit) if any is.</summary>
    public static long? Max(IEnumerable<long?> counts) => counts.Aggregate((long?)0, (a, b) => a is null || b is null ? null : Math.Max(a.Value, b.Value));
}
