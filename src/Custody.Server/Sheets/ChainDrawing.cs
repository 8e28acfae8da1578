using Custody.Bats;
using Custody.Evidence;

namespace Custody.Server.Sheets;

/// <summary>Draws a chain of title or custody: one row for each holding, in order of occurrence.</summary>
public static class ChainDrawing
{
    /// <param name="today">Where a holding that goes on is drawn to.</param>
    /// <param name="label">Who holds, in words.</param>
    public static Lanes Of(HoldingChain chain, DateOnly today, Func<HoldingLink, string> label)
    {
        var now = Day.Of(today).Number;
        List<Holding> held = [.. chain.Links.Select(l => Holding.Of(l, now))];
        var line = TimeLine.Of(held.SelectMany(h => h.Days).Append(now), Lanes.Labels, Lanes.Line);
        List<Lane> rows = [];
        long? ended = null, surely = null;
        for (var i = 0; i < held.Count; i++)
        {
            var h = held[i];
            var next = i + 1 < held.Count ? held[i + 1] : null;
            List<Bar> bars = [.. Held(h, next, line, now)];
            (ended, surely) = (Later(ended, h.EndedLast), Later(surely, h.EndedFirst));
            if (h.Link.GapToNext is { Certainty: not Certainty.Excluded } gap && next is not null && Gap(gap, ended, surely, next, line) is { } hatched) bars.Add(hatched);
            bars.AddRange(Overlaps(held, h, line, now));
            rows.Add(new Lane(Lanes.Short(label(h.Link)), label(h.Link), Look(h.Link), i * Lanes.Row, bars));
        }
        return Lanes.Of(rows, line);
    }

    static string Look(HoldingLink link) => link.State == LinkState.InTransit ? "transit" : link.Kind == LinkKind.Act ? "act" : "report";

    static IEnumerable<Bar> Held(Holding h, Holding? next, TimeLine line, long now)
    {
        var beganFirst = h.BeganFirst is { } first ? line.At(first) : Lanes.Labels;
        var beganLast = h.BeganLast is { } last ? line.At(last) : beganFirst;
        if (h.EndedFirst is not { } ending)
        {
            // Told of a beginning and no end: it fades towards whoever is told of next.
            var fades = line.At(next?.BeganFirst is { } began && began > (h.BeganLast ?? long.MinValue) ? began : now);
            if (beganLast > beganFirst) yield return Lanes.Between(Stretch.Beginning, beganFirst, beganLast);
            yield return Lanes.Between(Stretch.Ending, beganLast, fades);
            yield break;
        }
        var (endedFirst, endedLast) = (line.At(ending), line.At(h.EndedLast ?? now));
        if (beganLast > endedFirst)
        {
            yield return Lanes.Between(Stretch.Perhaps, beganFirst, Math.Max(beganLast, endedLast));
            yield break;
        }
        if (beganLast > beganFirst) yield return Lanes.Between(Stretch.Beginning, beganFirst, beganLast);
        yield return Lanes.Between(Stretch.Certain, beganLast, endedFirst);
        if (endedLast > endedFirst) yield return Lanes.Between(Stretch.Ending, endedFirst, endedLast);
    }

    // A gap that is certain reaches from the last day anybody can have held to the first on which the next can have begun; a possible one may be wider.
    static Bar? Gap(ChainGap gap, long? ended, long? surely, Holding next, TimeLine line)
    {
        var certain = gap.Certainty == Certainty.Certain;
        return (certain ? ended : surely) is { } from && (certain ? next.BeganFirst : next.BeganLast) is { } to && to > from
            ? Lanes.Between(Stretch.Gap, line.At(from), line.At(to)) with { Sure = certain } : null;
    }

    // Marked on both rows, wherever the other one stands.
    static IEnumerable<Bar> Overlaps(List<Holding> held, Holding h, TimeLine line, long now)
    {
        var overlaps = held.SelectMany(o => h.Link.Overlaps.Where(v => v.Entry == o.Link.Entry).Concat(o.Link.Overlaps.Where(v => v.Entry == h.Link.Entry)).Select(v => (o, v.Certainty)));
        foreach (var (other, certainty) in overlaps)
        {
            var from = Later(h.BeganFirst, other.BeganFirst);
            var to = Math.Min(h.EndedLast ?? now, other.EndedLast ?? now);
            var left = from is { } day ? line.At(day) : Lanes.Labels;
            yield return Lanes.Between(Stretch.Overlap, left, Math.Max(left, line.At(to))) with { Sure = certainty == Certainty.Certain };
        }
    }

    static long? Later(long? a, long? b) => a is null ? b : b is null ? a : Math.Max(a.Value, b.Value);

    /// <summary>A holding in days. Its beginning and its end are moments somewhere within what is said of them; null where nothing limits them.</summary>
    sealed record Holding(HoldingLink Link, long? BeganFirst, long? BeganLast, long? EndedFirst, long? EndedLast)
    {
        public IEnumerable<long> Days => new[] { BeganFirst, BeganLast, EndedFirst, EndedLast }.OfType<long>();

        public static Holding Of(HoldingLink link, long now)
        {
            var (first, last) = link.From is { } from ? (Number(from.EarliestStart), Number(from.LatestEnd)) : (null, null);
            // An act without an end still holds; a report without one says nothing of how long.
            var (end, ends) = link.To is { } to ? (Number(to.EarliestStart), Number(to.LatestEnd)) : link.Kind == LinkKind.Act ? ((long?)now, (long?)now) : (null, null);
            return new(link, first ?? last, last ?? first, end ?? ends, ends ?? end);
        }

        static long? Number(Bound bound) => bound.IsDay ? bound.Day.Number : null;
    }
}
