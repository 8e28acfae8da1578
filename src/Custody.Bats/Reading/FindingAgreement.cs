using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How two examinations stand to each other on one thing.</summary>
public enum Agreement
{
    /// <summary>Both saw it there, or both looked and found none.</summary>
    Agree,

    /// <summary>Both saw it, and one further than the other by more than the tolerance.</summary>
    DifferInExtent,

    /// <summary>One saw what the other looked for there and found absent.</summary>
    Conflict,

    /// <summary>One saw it and the other does not mention it.</summary>
    OneOnly,

    /// <summary>One could not judge it, or only one says where.</summary>
    NotComparable,
}

/// <summary>One thing in two examinations.</summary>
/// <param name="First">Number of the finding in the first; null when it has none.</param>
/// <param name="InchesMore">How much further the second reaches along the axis; null unless both are placed.</param>
public sealed record FindingCompared(
    FindingKind Kind, Agreement Agreement, int? First, int? Second, Confidence? FirstConfidence, Confidence? SecondConfidence, DecimalText? InchesMore,
    DecimalText? DegreesMore);

/// <summary>Two examinations of one bat, finding by finding: the same place on the surface, within a stated tolerance.</summary>
/// <param name="Refused">Why they cannot be compared; null when they can.</param>
/// <param name="Between">Incidents, treatments and hand-overs recorded between the two: what looks like a conflict may be a change.</param>
/// <param name="SameExaminer">One and the same person looked twice.</param>
public sealed record ExaminationsCompared(
    long First, Who FirstExaminer, long Second, Who SecondExaminer, bool SameExaminer, SpotTolerance Tolerance, IReadOnlyList<FindingCompared> Findings,
    Refusal? Refused, IReadOnlyList<HappenedBetween> Between)
{
    /// <summary>Every two examinations with locked findings that stand, in order of locking.</summary>
    internal static IReadOnlyList<ExaminationsCompared> All(Reading reading)
    {
        var examined = ExaminationRead.All(reading);
        return [.. examined.SelectMany((first, i) => examined.Skip(i + 1).Select(second => Of(reading, first, second)))];
    }

    static ExaminationsCompared Of(Reading reading, ExaminationRead first, ExaminationRead second)
    {
        var step = reading.ConditionBetween(first.Entry, second.Entry)!;
        return new ExaminationsCompared(
            first.Entry, first.Examiner, second.Entry, second.Examiner, first.Examiner.Alias == second.Examiner.Alias, SpotTolerance.Usual,
            [.. (step.Difference?.Changes ?? []).Select(c => Of(c, first, second)).Concat(step.Difference is null ? [] : BothAbsent(first, second)).OrderBy(f => Rank(f.Agreement)).ThenBy(f => f.Kind).ThenBy(f => f.First ?? f.Second)],
            step.Refused, step.Between);
    }

    static FindingCompared Of(SurfaceChange change, ExaminationRead first, ExaminationRead second)
    {
        var (a, b) = (Named(first, change.Earlier), Named(second, change.Later));
        return new FindingCompared(
            (a ?? b)!.Kind,
            change.Change switch
            {
                ChangeKind.Same => Agreement.Agree,
                ChangeKind.Grown or ChangeKind.Shrunk => Agreement.DifferInExtent,
                ChangeKind.NotComparable => Agreement.NotComparable,
                _ => change.Certainty == Certainty.Certain ? Agreement.Conflict : Agreement.OneOnly,
            },
            a?.Number, b?.Number, a?.Confidence, b?.Confidence, change.GrownInches, change.GrownDegrees);
    }

    static FindingRead? Named(ExaminationRead examination, string? key) => key is null ? null : examination.Findings.First(f => f.Key == key);

    /// <summary>Looked for by both and found by neither: an absence is a finding like any other.</summary>
    static IEnumerable<FindingCompared> BothAbsent(ExaminationRead first, ExaminationRead second) =>
        from kind in first.Findings.Select(f => f.Kind).Distinct()
        where Only(first, kind) is not null && Only(second, kind) is not null
        let pair = (A: Only(first, kind)!, B: Only(second, kind)!)
        select new FindingCompared(kind, Agreement.Agree, pair.A.Number, pair.B.Number, pair.A.Confidence, pair.B.Confidence, null, null);

    // Of a kind that was nowhere seen, the finding that says so.
    static FindingRead? Only(ExaminationRead examination, FindingKind kind)
    {
        var all = examination.Findings.Where(f => f.Kind == kind).ToList();
        return all.Count > 0 && all.TrueForAll(f => f.Presence == Presence.Absent) ? all[0] : null;
    }

    static int Rank(Agreement agreement) => agreement switch
    {
        Agreement.Conflict => 0,
        Agreement.DifferInExtent => 1,
        Agreement.OneOnly => 2,
        Agreement.NotComparable => 3,
        _ => 4,
    };
}
