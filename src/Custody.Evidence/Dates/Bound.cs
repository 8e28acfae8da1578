namespace Custody.Evidence;

/// <summary>What is known of one end of a dated value.</summary>
public enum BoundKind
{
    /// <summary>A day.</summary>
    Day,

    /// <summary>Written as open (".."): no limit towards the past.</summary>
    OpenPast,

    /// <summary>Written as open (".."): no limit towards the future; as an end it reads "still going on".</summary>
    OpenFuture,

    /// <summary>Left empty: there is such an end, but nobody stated it.</summary>
    Unknown,
}

/// <summary>One of the four bounds of a dated value.</summary>
public readonly record struct Bound(BoundKind Kind, Day Day)
{
    /// <summary>Whether <see cref="Day"/> means anything.</summary>
    public bool IsDay => Kind == BoundKind.Day;

    /// <summary>Written as open, either way.</summary>
    public bool IsOpen => Kind is BoundKind.OpenPast or BoundKind.OpenFuture;

    /// <summary>An end nobody stated.</summary>
    public static Bound Unknown => new(BoundKind.Unknown, default);

    /// <inheritdoc/>
    public override string ToString() => Kind switch
    {
        BoundKind.Day => Day.ToString(),
        BoundKind.Unknown => "unknown",
        _ => "open",
    };

    internal static Bound FromExtended(long number) => number switch
    {
        Alternative.Past => new Bound(BoundKind.OpenPast, default),
        Alternative.Future => new Bound(BoundKind.OpenFuture, default),
        _ => new Bound(BoundKind.Day, new Day(number)),
    };
}

/// <summary>
/// One contiguous possibility: what is dated began on some day from StartLo to StartHi and ended on some day from EndLo to EndHi, never
/// before it began. Day numbers; <see cref="Past"/> and <see cref="Future"/> stand for no limit.
/// </summary>
readonly record struct Alternative(long StartLo, long StartHi, long EndLo, long EndHi)
{
    public const long Past = long.MinValue;
    public const long Future = long.MaxValue;

    public static Alternative Within(long lo, long hi) => new(lo, hi, lo, hi);

    public static Alternative Hull(IReadOnlyList<Alternative> all) =>
        new(all.Min(a => a.StartLo), all.Max(a => a.StartHi), all.Min(a => a.EndLo), all.Max(a => a.EndHi));

    /// <summary>Applies "never ends before it began", so that no bound promises what the other end forbids.</summary>
    public Alternative Tightened() => new(StartLo, Math.Min(StartHi, EndHi), Math.Max(EndLo, StartLo), EndHi);
}
