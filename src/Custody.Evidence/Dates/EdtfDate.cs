namespace Custody.Evidence;

/// <summary>EDTF qualification of a component: "?" uncertain, "~" approximate, "%" both.</summary>
[Flags]
public enum Qualifier
{
    /// <summary>Stated plainly.</summary>
    None = 0,

    /// <summary>"?": the source is in doubt.</summary>
    Uncertain = 1,

    /// <summary>"~": about.</summary>
    Approximate = 2,
}

/// <summary>How far a date goes.</summary>
public enum DatePrecision
{
    /// <summary>A year, or a span of years by letter Y or significant digits.</summary>
    Year,

    /// <summary>A season, quarter, quadrimester or half (codes 21-41).</summary>
    Season,

    /// <summary>A month.</summary>
    Month,

    /// <summary>A day.</summary>
    Day,
}

/// <summary>One date inside an EDTF value: the whole of it, an interval's end or a member of a set.</summary>
/// <param name="Text">As typed.</param>
/// <param name="Precision">How far it goes.</param>
/// <param name="FirstYear">First possible year (for a mask: with the smallest fitting digits).</param>
/// <param name="LastYear">Last possible year.</param>
/// <param name="OfYear">Qualification of the year.</param>
/// <param name="OfMonth">Qualification of the month or season.</param>
/// <param name="OfDay">Qualification of the day.</param>
public sealed record EdtfDate(
    string Text, DatePrecision Precision, long FirstYear, long LastYear, Qualifier OfYear, Qualifier OfMonth, Qualifier OfDay)
{
    /// <summary>Whether any component is uncertain ("?" or "%").</summary>
    public bool IsUncertain => (OfYear | OfMonth | OfDay).HasFlag(Qualifier.Uncertain);

    /// <summary>Whether any component is approximate ("~" or "%").</summary>
    public bool IsApproximate => (OfYear | OfMonth | OfDay).HasFlag(Qualifier.Approximate);

    /// <summary>Whether some digit is unspecified ("X").</summary>
    public bool IsMasked => Text.Contains('X', StringComparison.Ordinal);

    /// <summary>The possible days, ascending, apart by at least one impossible day. Never empty.</summary>
    internal IReadOnlyList<DayRun> Runs { get; init; } = [];

    internal long Lo => Runs[0].Lo;

    internal long Hi => Runs[^1].Hi;
}

/// <summary>Days from Lo to Hi, both included.</summary>
readonly record struct DayRun(long Lo, long Hi);
