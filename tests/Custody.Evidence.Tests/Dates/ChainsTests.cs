using System.Globalization;
using FsCheck;
using FsCheck.Fluent;

namespace Custody.Evidence.Tests.Dates;

public class ChainsTests
{
    static IReadOnlyList<ChainLink<string>> Lay(params (string Who, string From, string? To)[] holdings) =>
        Chains.Lay([.. holdings.Select(h => (h.Who, Edtf.Parse(h.From), h.To is null ? null : Edtf.Parse(h.To)))]);

    [Fact]
    public void Holders_stand_in_the_order_in_which_they_can_have_begun_however_they_were_given()
    {
        var links = Lay(("c", "1960", null), ("a", "1950", "1955"), ("b", "1955~", "1960"));
        Assert.Equal(["a", "b", "c"], links.Select(l => l.Who));
        Assert.Null(links[2].GapToNext);
        Assert.Null(links[2].OverlapWithNext);
    }

    [Fact]
    public void A_hand_over_on_one_day_is_neither_gap_nor_overlap()
    {
        var link = Lay(("a", "1950", "1955-04-12"), ("b", "1955-04-12", "1960"))[0];
        Assert.Equal(new ChainGap(Certainty.Excluded, new DayCount(0, 0), false), link.GapToNext);
        Assert.Equal(new ChainOverlap(1, Certainty.Excluded, new DayCount(0, 0), false), link.OverlapWithNext);
    }

    [Fact]
    public void Years_that_meet_leave_a_gap_and_an_overlap_possible()
    {
        var link = Lay(("a", "1950", "1955"), ("b", "1955~", "1960"))[0];
        Assert.Equal(new ChainGap(Certainty.Possible, new DayCount(0, 363), true), link.GapToNext);
        Assert.Equal(new ChainOverlap(1, Certainty.Possible, new DayCount(0, 364), true), link.OverlapWithNext);
    }

    [Fact]
    public void Dates_apart_leave_a_certain_gap_with_its_bounds()
    {
        var link = Lay(("a", "1950", "1955-04-10"), ("b", "1955-04-12", null))[0];
        Assert.Equal(new ChainGap(Certainty.Certain, new DayCount(1, 1), false), link.GapToNext);
    }

    [Fact]
    public void An_end_nobody_stated_is_unknown_and_so_is_what_follows()
    {
        var link = Lay(("a", "1950-01-01", null), ("b", "1950-01-11", "1960"))[0];
        Assert.Equal(new ChainGap(Certainty.Possible, new DayCount(0, 9), false), link.GapToNext);
        Assert.Equal(Certainty.Possible, link.OverlapWithNext!.Certainty);
        Assert.Equal(0, link.OverlapWithNext.Days.Least);
    }

    [Fact]
    public void Someone_who_still_holds_overlaps_everyone_after_without_limit()
    {
        var links = Lay(("a", "1950", "1950/.."), ("b", "1955", "1956"), ("c", "1960", "1960/.."));
        Assert.Equal(Certainty.Possible, links[0].OverlapWithNext!.Certainty);
        var further = Assert.Single(links[0].OverlapsFurtherOn);
        Assert.Equal((2, Certainty.Possible, 0L, (long?)null), (further.Other, further.Certainty, further.Days.Least, further.Days.Most));
    }

    [Fact]
    public void A_long_holding_that_spans_two_short_ones_closes_the_gap_between_them_and_overlaps_both()
    {
        var links = Lay(("long", "1950", "1970"), ("b", "1952", "1953"), ("c", "1960", "1961"));
        Assert.Equal(Certainty.Excluded, links[1].GapToNext!.Certainty);
        Assert.Equal(Certainty.Excluded, links[1].OverlapWithNext!.Certainty);
        Assert.Equal((2, Certainty.Certain, new DayCount(1, 730)), links[0].OverlapsFurtherOn.Select(o => (o.Other, o.Certainty, o.Days)).Single());
    }

    [Fact]
    public void An_empty_chain_has_no_links() => Assert.Empty(Lay());

    static readonly Gen<(int From, int Spread, int Length, int EndSpread)> Holding =
        from start in Gen.Choose(0, 8)
        from spread in Gen.Choose(0, 2)
        from length in Gen.Choose(0, 5)
        from endSpread in Gen.Choose(0, 2)
        select (start, spread, length, endSpread);

    [Fact]
    public void Gaps_and_overlaps_of_any_chain_are_what_all_its_readings_give() => Check.One(Config.QuickThrowOnFailure.WithMaxTest(300),
        Prop.ForAll(Gen.Three(Holding).ToArbitrary(), three =>
        {
            var drawn = new[] { three.Item1, three.Item2, three.Item3 }.OrderBy(h => h.From).ThenBy(h => h.From + h.Spread).ToArray();
            var links = Chains.Lay([.. drawn.Select((h, i) =>
                (i, Range(h.From, h.From + h.Spread), (Edtf?)Range(h.From + h.Length, h.From + h.Length + h.EndSpread)))]);
            return links.Select(l => l.Who).SequenceEqual([0, 1, 2]) && Agrees(drawn, links);
        }));

    static bool Agrees((int From, int Spread, int Length, int EndSpread)[] drawn, IReadOnlyList<ChainLink<int>> links)
    {
        var readings = drawn.Select(Readings).ToArray();
        var all = (from a in readings[0] from b in readings[1] from c in readings[2] select new[] { a, b, c }).ToList();
        int Gap(int i, (int S, int E)[] r) => Math.Max(0, r[i + 1].S - r[..(i + 1)].Max(h => h.E) - 1);
        int Overlap(int i, int j, (int S, int E)[] r) => Math.Max(0, Math.Min(r[i].E, r[j].E) - Math.Max(r[i].S, r[j].S));
        bool Same(Certainty certainty, DayCount days, List<int> seen) => days == new DayCount(seen.Min(), seen.Max())
            && certainty == (seen.Min() > 0 ? Certainty.Certain : seen.Max() == 0 ? Certainty.Excluded : Certainty.Possible);
        bool AgreesAt(int i) => Same(links[i].GapToNext!.Certainty, links[i].GapToNext!.Days, [.. all.Select(r => Gap(i, r))])
            && Same(links[i].OverlapWithNext!.Certainty, links[i].OverlapWithNext!.Days, [.. all.Select(r => Overlap(i, i + 1, r))]);
        var further = links[0].OverlapsFurtherOn;
        return AgreesAt(0) && AgreesAt(1) && (further.Count == 0 ? all.TrueForAll(r => Overlap(0, 2, r) == 0)
            : Same(further[0].Certainty, further[0].Days, [.. all.Select(r => Overlap(0, 2, r))]));
    }

    static List<(int S, int E)> Readings((int From, int Spread, int Length, int EndSpread) h) =>
        [.. from s in Enumerable.Range(h.From, h.Spread + 1) from e in Enumerable.Range(h.From + h.Length, h.EndSpread + 1) where e >= s select (s, e)];

    static Edtf Range(int from, int to) => Edtf.Parse(from == to ? Text(from) : $"[{Text(from)}..{Text(to)}]");

    static string Text(int day) => new DateOnly(1952, 4, 28).AddDays(day).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
