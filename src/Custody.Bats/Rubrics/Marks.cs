using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>One finding as a grade reads it: open fields only.</summary>
/// <param name="Count">How many marks it speaks of, where a measure with unit 1 says so; otherwise 1.</param>
public sealed record FindingHeld(FindingKind Kind, Presence Presence, int Count)
{
    /// <summary>Of a finding as locked or revised.</summary>
    public static FindingHeld Of(FindingKind kind, Presence presence, Evidence.Quantity? measure) => new(kind, presence, CountOf(measure));

    // A rubric counts marks: a fraction or a negative number of them is read as what certainly is there, and a number nobody counts to as very many.
    static int CountOf(Evidence.Quantity? measure) =>
        measure is not { Unit.Code: "1" } ? 1
        : measure.Value.Sign < 0 ? 0
        : int.TryParse(measure.Value.Round(0, Evidence.Rounding.TowardsZero).Text, System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var count) ? count
        : int.MaxValue / 1000;
}

/// <summary>How many marks of one kind were found.</summary>
/// <param name="Least">At least so many were seen.</param>
/// <param name="Judged">False when there may be more: the kind was not looked for, or could not be judged everywhere.</param>
/// <param name="Examination">The examination that was read for it; null when none speaks of the kind.</param>
public sealed record MarkCount(int Least, bool Judged, long? Examination);

/// <summary>The marks that examinations found, kind by kind.</summary>
public static class Marks
{
    /// <summary>Counts the marks of every kind that some of these examinations speak of. Each kind is read from one examination, never added over
    /// several: the bat in hand before pictures, then the one locked last.</summary>
    public static IReadOnlyDictionary<FindingKind, MarkCount> In(IEnumerable<KeyValuePair<long, Examination>> examinations) =>
        examinations.SelectMany(e => e.Value.Held.Values.GroupBy(h => h.Kind).Select(kind => (Exam: e, Kind: kind.Key, Held: kind.ToList())))
            .GroupBy(k => k.Kind)
            .ToImmutableSortedDictionary(k => k.Key, k => Of(k.OrderBy(x => Speaks(x.Held) ? 0 : 1).ThenBy(x => x.Exam.Value.From == ExaminedFrom.BatInHand ? 0 : 1)
                .ThenByDescending(x => x.Exam.Value.Locked).First() is var best ? best.Held : [], best.Exam.Key));

    // One that could not judge a kind gives way to one that could.
    static bool Speaks(List<FindingHeld> held) => held.Exists(h => h.Presence != Presence.NotAssessable);

    static MarkCount Of(List<FindingHeld> held, long examination) => new(
        held.Where(h => h.Presence == Presence.Seen).Sum(h => h.Count), held.TrueForAll(h => h.Presence != Presence.NotAssessable), examination);
}
