namespace Custody.Evidence;

/// <summary>How far two holders of a chain overlap: the days on which both are said to hold, a shared day of hand-over not counted.</summary>
/// <param name="Other">Place of the other holder in the laid-out chain, from 0; always a later one.</param>
/// <param name="Certainty">Possible or certain; excluded overlaps are not listed beyond the next holder.</param>
/// <param name="Days">Least and most days.</param>
/// <param name="RestsOnQualified">Some date used is uncertain or approximate.</param>
public sealed record ChainOverlap(int Other, Certainty Certainty, DayCount Days, bool RestsOnQualified);

/// <summary>The time before the next holder begins in which nobody laid out so far is said to hold.</summary>
/// <param name="Certainty">Whether there is such a time of at least one whole day.</param>
/// <param name="Days">Least and most whole days.</param>
/// <param name="RestsOnQualified">Some date used is uncertain or approximate.</param>
public sealed record ChainGap(Certainty Certainty, DayCount Days, bool RestsOnQualified);

/// <summary>One holder in a chain, with how the next one follows. Both are null at the last link.</summary>
/// <param name="Who">The holder.</param>
/// <param name="From">When holding began, as stated.</param>
/// <param name="To">When it ended, as stated; null when nobody stated an end.</param>
/// <param name="GapToNext">The gap before the next link; a holder further up who still holds closes it.</param>
/// <param name="OverlapWithNext">The overlap with the next link alone, excluded ones too.</param>
/// <param name="OverlapsFurtherOn">Certain and possible overlaps with links after the next.</param>
public sealed record ChainLink<TKey>(
    TKey Who, Edtf From, Edtf? To, ChainGap? GapToNext, ChainOverlap? OverlapWithNext, IReadOnlyList<ChainOverlap> OverlapsFurtherOn);

/// <summary>Lays out who held what from when to when, of title as of custody, and says where the dates leave gaps and overlaps.</summary>
public static class Chains
{
    /// <summary>
    /// Orders the holdings by the first day each can have begun, then by the last, then as given, and compares each with the next. Each date is
    /// a moment somewhere within its bounds: "1952" as an end is some day of 1952. An end nobody stated is unknown, not "until today".
    /// </summary>
    public static IReadOnlyList<ChainLink<TKey>> Lay<TKey>(IReadOnlyList<(TKey Who, Edtf From, Edtf? To)> holdings)
    {
        var ordered = holdings.OrderBy(h => h.From.StartLo).ThenBy(h => h.From.EndHi).ToList();
        var held = ordered.Select(h => Holding.Of(h.From, h.To)).ToList();
        return [.. ordered.Select((h, i) => new ChainLink<TKey>(h.Who, h.From, h.To, Gap(held, i), Next(held, i), Further(held, i)))];
    }

    static ChainGap? Gap(List<Holding> held, int i)
    {
        if (i + 1 == held.Count)
            return null;
        // Whoever of all links so far ended last: a long loan that spans two short ones leaves no gap between them.
        var (lo, hi) = (held.Take(i + 1).Max(h => h.Ends.EndLo), held.Take(i + 1).Max(h => h.Ends.EndHi));
        var next = held[i + 1];
        var days = new DayCount(Extended.Apart(next.Ends.StartLo, hi) ?? 0, Extended.Apart(next.Ends.StartHi, lo));
        return new ChainGap(Of(days), days, held.Take(i + 2).Any(h => h.Qualified));
    }

    static ChainOverlap? Next(List<Holding> held, int i) => i + 1 == held.Count ? null : Overlap(held, i, i + 1);

    static List<ChainOverlap> Further(List<Holding> held, int i) =>
        [.. Enumerable.Range(i + 2, Math.Max(0, held.Count - i - 2)).Select(j => Overlap(held, i, j)).Where(o => o.Certainty != Certainty.Excluded)];

    static ChainOverlap Overlap(List<Holding> held, int i, int j)
    {
        var (a, b) = (held[i].Ends, held[j].Ends);
        var days = new DayCount(
            Extended.Beyond(Math.Min(a.EndLo, b.EndLo), Math.Max(a.StartHi, b.StartHi)) ?? 0,
            Extended.Beyond(Math.Min(a.EndHi, b.EndHi), Math.Max(a.StartLo, b.StartLo)));
        return new ChainOverlap(j, Of(days), days, held[i].Qualified || held[j].Qualified);
    }

    static Certainty Of(DayCount days) => days.Least > 0 ? Certainty.Certain : days.Most is 0 ? Certainty.Excluded : Certainty.Possible;

    /// <summary>The bounds of one holding's beginning and end.</summary>
    readonly record struct Holding(Alternative Ends, bool Qualified)
    {
        public static Holding Of(Edtf from, Edtf? to)
        {
            var (startLo, startHi) = (from.StartLo, from.EndHi);
            var (endLo, endHi) = to is null ? (startLo, Alternative.Future) : (to.StartLo, to.EndHi);
            return new Holding(new Alternative(startLo, startHi, endLo, endHi).Tightened(), from.IsQualified || to is { IsQualified: true });
        }
    }
}
