using System.Globalization;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Whether a link was made here under the rules or told of elsewhere or before.</summary>
public enum LinkKind
{
    Act,
    Report,
}

public enum LinkState
{
    Held,
    InTransit,
    NotKnown,
}

/// <summary>What comparing entries shows of a link; never stored.</summary>
public enum LinkRemark
{
    Undated,
    NotFromTheHolderBefore,
    AmongDisputes,
}

/// <summary>One share of what a link says is held.</summary>
/// <param name="Share">Null for custody, which has no shares.</param>
public sealed record HeldShare(Who Who, Fraction? Share);

/// <summary>Two links that are both said to hold.</summary>
/// <param name="Entry">The other link's entry.</param>
/// <param name="Days">Least and most days together.</param>
/// <param name="RestsOnQualified">Some date used is uncertain or approximate.</param>
public sealed record LinkOverlap(long Entry, Certainty Certainty, DayCount Days, bool RestsOnQualified);

/// <summary>One holding as an act or a report has it.</summary>
/// <param name="Entry">The entry that says so.</param>
/// <param name="Type">Its type.</param>
/// <param name="From">When it began, as stated; an act not dated began on the day it was recorded.</param>
/// <param name="To">When it ended; null when nobody said.</param>
/// <param name="Basis">What it rests on, where that is said.</param>
/// <param name="Given">How the giving side of a hand-over attested it.</param>
/// <param name="Taken">How the taking side did.</param>
/// <param name="Irregularities">As the one who reported it stated them.</param>
/// <param name="GapToNext">The time before the next link in which nobody is said to hold; null for the last.</param>
/// <param name="Overlaps">Certain and possible overlaps with later links.</param>
public sealed record HoldingLink(
    long Entry, string Type, LinkKind Kind, LinkState State, IReadOnlyList<HeldShare> Holders, Edtf? From, Edtf? To, AssertionBasis? Basis,
    Attestation? Given, Attestation? Taken, IReadOnlyList<Irregularity> Irregularities, IReadOnlyList<LinkRemark> Remarks, ChainGap? GapToNext,
    IReadOnlyList<LinkOverlap> Overlaps);

/// <summary>A gap that somebody stated, with what was searched in vain.</summary>
public sealed record StatedGap(long Entry, Edtf? From, Edtf? Until, IReadOnlyList<SearchedIn> Searched, Who? SearchedBy);

/// <summary>Who is said to have held title, or kept the bat, from when to when: acts and reports together, in order of occurrence.</summary>
/// <param name="NotKnown">Times in which the record itself says that nobody knows.</param>
public sealed record HoldingChain(IReadOnlyList<HoldingLink> Links, IReadOnlyList<HoldingLink> NotKnown, IReadOnlyList<StatedGap> StatedGaps)
{
    /// <summary>Lays links out by their dates (<see cref="Chains.Lay"/>), with gaps and overlaps. Overlaps of one holder with itself and of
    /// shares that fit beside each other are none.</summary>
    internal static HoldingChain Lay(Reading reading, GapIn gaps, IReadOnlyList<HoldingLink> links)
    {
        List<HoldingLink> known = [.. links.Where(l => l.State != LinkState.NotKnown)];
        var laid = Chains.Lay<int>([.. known.Select((l, i) => (i, l.From ?? Undated(reading, l), l.To))]);
        List<HoldingLink> chain = [.. laid.Select((link, place) => known[link.Who] with
        {
            GapToNext = link.GapToNext,
            Overlaps = [.. Following(link, place).Select(o => (Other: known[laid[o.Other].Who], Overlap: o))
                .Where(o => !Beside(known[link.Who], o.Other))
                .Select(o => new LinkOverlap(o.Other.Entry, o.Overlap.Certainty, o.Overlap.Days, o.Overlap.RestsOnQualified))],
        })];
        return new HoldingChain(
            chain, [.. links.Where(l => l.State == LinkState.NotKnown)],
            [.. reading.Standing<GapStated>().Where(g => g.Fact.In == gaps)
                .Select(g => new StatedGap(g.At.N, g.Fact.From, g.Fact.Until, g.Fact.Searched, reading.WhoMaybe(g.Fact.SearchedBy)))]);
    }

    static IEnumerable<ChainOverlap> Following(ChainLink<int> link, int place) =>
        (link.OverlapWithNext is { } next ? [next with { Other = place + 1 }] : Array.Empty<ChainOverlap>()).Concat(link.OverlapsFurtherOn)
        .Where(o => o.Certainty != Certainty.Excluded);

    static bool Beside(HoldingLink a, HoldingLink b)
    {
        var holders = a.Holders.Select(h => h.Who.Alias).ToHashSet();
        if (holders.SetEquals(b.Holders.Select(h => h.Who.Alias))) return true;
        List<Fraction> shares = [.. a.Holders.Concat(b.Holders).Select(h => h.Share).OfType<Fraction>()];
        return shares.Count > 0 && shares.Count == a.Holders.Count + b.Holders.Count && Fits(shares);
    }

    // At most the whole together: what is left over must be a share too, or nothing.
    static bool Fits(List<Fraction> shares)
    {
        System.Numerics.BigInteger parts = 0, of = 1;
        foreach (var share in shares) (parts, of) = ((parts * share.Of) + (share.Parts * of), of * share.Of);
        return parts <= of;
    }

    // Nobody said when it began: any time up to its end, or up to when it was told.
    static Edtf Undated(Reading reading, HoldingLink link)
    {
        var end = link.To?.LatestEnd is { IsDay: true } bound ? bound.Day : Day.Of(DateOnly.FromDateTime(reading[link.Entry].Recorded.UtcDateTime));
        return Edtf.Parse(string.Create(CultureInfo.InvariantCulture, $"../{end}"));
    }
}

/// <summary>One holding on a day.</summary>
/// <param name="Certainty">Certain: said to have held through the whole of the time asked about. Possible: some of it, on some reading of the dates.</param>
public sealed record HeldOn(long Entry, LinkKind Kind, LinkState State, IReadOnlyList<HeldShare> Holders, Certainty Certainty)
{
    internal static IReadOnlyList<HeldOn> Read(HoldingChain chain, Edtf day) =>
    [
        .. chain.Links.Concat(chain.NotKnown).Select(l => new HeldOn(l.Entry, l.Kind, l.State, l.Holders, Of(l, day))).Where(h => h.Certainty != Certainty.Excluded),
    ];

    static Certainty Of(HoldingLink link, Edtf day)
    {
        var (first, last) = (Low(day.EarliestStart), High(day.LatestEnd));
        // A beginning or end is a moment somewhere within its bounds.
        var (beganFirst, beganLast) = link.From is { } from ? (Low(from.EarliestStart), High(from.LatestEnd)) : (long.MinValue, High(link.To?.LatestEnd));
        // An act without an end still holds; a report without one says nothing of how long.
        var (endedFirst, endedLast) = link.To is { } to ? (Low(to.EarliestStart), High(to.LatestEnd))
            : (link.Kind == LinkKind.Act ? long.MaxValue : long.MinValue, long.MaxValue);
        if (beganFirst > last || endedLast < first) return Certainty.Excluded;
        return beganLast <= first && endedFirst >= last ? Certainty.Certain : Certainty.Possible;
    }

    static long Low(Bound bound) => bound.IsDay ? bound.Day.Number : bound.Kind == BoundKind.OpenFuture ? long.MaxValue : long.MinValue;

    static long High(Bound? bound) => bound is { IsDay: true } at ? at.Day.Number : bound?.Kind == BoundKind.OpenPast ? long.MinValue : long.MaxValue;
}

/// <summary>Who is said to have held title and kept the bat on a day, or through a longer time.</summary>
public sealed record StoodOn(Edtf Day, IReadOnlyList<HeldOn> Title, IReadOnlyList<HeldOn> Custody);
