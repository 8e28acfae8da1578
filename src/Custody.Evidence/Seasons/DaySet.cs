namespace Custody.Evidence;

/// <summary>A set of days as ascending runs that do not touch. Alternative.Past and Alternative.Future stand for no limit.</summary>
sealed class DaySet
{
    readonly List<DayRun> runs;

    DaySet(List<DayRun> runs) => this.runs = runs;

    public static DaySet All { get; } = new([new DayRun(Alternative.Past, Alternative.Future)]);

    public static DaySet None { get; } = new([]);

    public static DaySet Of(IEnumerable<DayRun> pieces) => Joined(pieces.OrderBy(p => p.Lo));

    static DaySet Joined(IEnumerable<DayRun> ascending)
    {
        var runs = new List<DayRun>();
        foreach (var piece in ascending)
        {
            if (runs.Count > 0 && (runs[^1].Hi == Alternative.Future || piece.Lo <= runs[^1].Hi + 1))
                runs[^1] = new DayRun(runs[^1].Lo, Math.Max(runs[^1].Hi, piece.Hi));
            else
                runs.Add(piece);
        }
        return new DaySet(runs);
    }

    public IReadOnlyList<DayRun> Runs => runs;

    public bool IsEmpty => runs.Count == 0;

    /// <summary>The first day of the set that is not before a day; null when there is none. Past itself when nothing limits it.</summary>
    public long? FirstFrom(long day)
    {
        foreach (var run in runs)
        {
            if (run.Hi >= day)
                return Math.Max(run.Lo, day);
        }
        return null;
    }

    public DaySet And(DaySet other)
    {
        if (ReferenceEquals(this, All) || ReferenceEquals(other, All))
            return ReferenceEquals(this, All) ? other : this;
        // Most facts are one run of days, and so is what two of them share.
        if (runs.Count == 1 && other.runs.Count == 1)
        {
            var (from, till) = (Math.Max(runs[0].Lo, other.runs[0].Lo), Math.Min(runs[0].Hi, other.runs[0].Hi));
            return from > till ? None : from == runs[0].Lo && till == runs[0].Hi ? this : new DaySet([new DayRun(from, till)]);
        }
        var both = new List<DayRun>();
        for (int i = 0, j = 0; i < runs.Count && j < other.runs.Count;)
        {
            var (lo, hi) = (Math.Max(runs[i].Lo, other.runs[j].Lo), Math.Min(runs[i].Hi, other.runs[j].Hi));
            if (lo <= hi)
                both.Add(new DayRun(lo, hi));
            _ = runs[i].Hi < other.runs[j].Hi ? i++ : j++;
        }
        return new DaySet(both);
    }

    /// <summary>Every day from least to most days after a day of this set; most null for any time after. Negative counts go back.</summary>
    public DaySet Later(long least, long? most) =>
        ReferenceEquals(this, All) ? All : Joined(runs.Select(r => new DayRun(Plus(r.Lo, least), most is null ? Alternative.Future : Plus(r.Hi, most.Value))));

    /// <summary>Every day from least to most days before a day of this set; most null for any time before.</summary>
    public DaySet Earlier(long least, long? most) =>
        ReferenceEquals(this, All) ? All : Joined(runs.Select(r => new DayRun(most is null ? Alternative.Past : Plus(r.Lo, -most.Value), Plus(r.Hi, -least))));

    static long Plus(long day, long days) => day is Alternative.Past or Alternative.Future ? day : day + days;
}
