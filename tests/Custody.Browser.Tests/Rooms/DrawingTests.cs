using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Sheets;

namespace Custody.Browser.Tests.Rooms;

/// <summary>The bars of chains, without a browser.</summary>
public sealed class DrawingTests
{
    static readonly DateOnly Today = new(2024, 3, 1);
    static readonly ChainGap Certain = new(Certainty.Certain, new(100, 200), false);

    [Fact]
    public void Days_keep_their_order_and_a_day_between_two_stands_between_them()
    {
        long[] days = [700_000, 700_001, 712_000, 738_000];
        var line = TimeLine.Of(days, 200, 500);
        Assert.Equal(days.Select(line.At).Order(), days.Select(line.At));
        Assert.Equal([200, 700], [line.At(days[0]), line.At(days[^1])]);
        Assert.InRange(line.At(705_000), line.At(days[1]) + 1, line.At(days[2]) - 1);
        Assert.True(line.At(days[1]) - line.At(days[0]) > 5, "One day is wide enough to be seen beside decades.");
        Assert.Equal([200, 700], [line.At(0), line.At(900_000)]);
    }

    [Fact]
    public void Years_are_written_once_and_not_over_one_another()
    {
        var first = Day.Of(1950, 1, 1).Number;
        var years = TimeLine.Of(Enumerable.Range(0, 400).Select(i => first + (i * 60L)), 0, 500).Years(50).ToList();
        Assert.Equal(years.Select(y => y.Text).Distinct(), years.Select(y => y.Text));
        Assert.All(years.Zip(years.Skip(1)), pair => Assert.True(pair.Second.X - pair.First.X >= 50));
        Assert.Equal("1950", years[0].Text);
    }

    [Fact]
    public void An_act_without_an_end_goes_on_to_today_and_a_report_without_one_fades()
    {
        var drawn = Draw(Link(1, LinkKind.Report, "1961-05-01", null), Link(2, LinkKind.Act, "2020-01-01", null));
        Assert.Equal([Stretch.Ending], Kinds(drawn, 0));
        Assert.Equal([Stretch.Certain], Kinds(drawn, 1));
        Assert.Equal(Lanes.Labels + Lanes.Line, drawn.Rows[1].Bars[0].X + drawn.Rows[1].Bars[0].Width, 3);
        Assert.Equal(["report", "act"], drawn.Rows.Select(r => r.Look));
    }

    [Fact]
    public void What_is_known_to_the_year_only_is_certain_in_the_middle_and_faded_at_its_ends()
    {
        var bars = Draw(Link(1, LinkKind.Report, "1950", "1960")).Rows[0].Bars;
        Assert.Equal([Stretch.Beginning, Stretch.Certain, Stretch.Ending], bars.Select(b => b.Kind));
        Assert.Equal(bars[0].X + bars[0].Width, bars[1].X, 3);
        Assert.Equal(bars[1].X + bars[1].Width, bars[2].X, 3);
    }

    [Fact]
    public void A_holding_whose_end_can_lie_before_its_beginning_is_nowhere_certain()
    {
        Assert.Equal([Stretch.Perhaps], Kinds(Draw(Link(1, LinkKind.Report, "1950", "1950")), 0));
    }

    [Fact]
    public void A_gap_is_hatched_from_the_last_end_to_the_next_beginning()
    {
        var drawn = Draw(Link(1, LinkKind.Report, "1950-01-01", "1955-06-01", Certain), Link(2, LinkKind.Report, "1970-01-01", "1980-01-01"));
        var (held, gap, next) = (drawn.Rows[0].Bars[0], drawn.Rows[0].Bars[1], drawn.Rows[1].Bars[0]);
        Assert.Equal(Stretch.Gap, gap.Kind);
        Assert.Equal(held.X + held.Width, gap.X, 3);
        Assert.Equal(next.X, gap.X + gap.Width, 3);
        Assert.DoesNotContain(Stretch.Gap, Kinds(Draw(Link(1, LinkKind.Report, "1950-01-01", "1955-06-01"), Link(2, LinkKind.Report, "1955-06-02", null)), 0));
    }

    [Fact]
    public void A_gap_is_not_drawn_over_the_time_of_a_holder_who_stayed_longer()
    {
        var drawn = Draw(
            Link(1, LinkKind.Report, "1950-01-01", "1969-12-01"), Link(2, LinkKind.Report, "1952-01-01", "1953-01-01", Certain), Link(3, LinkKind.Report, "1970-06-01", "1980-01-01"));
        var gap = Assert.Single(drawn.Rows[1].Bars, b => b.Kind == Stretch.Gap);
        Assert.Equal(drawn.Rows[0].Bars[0].X + drawn.Rows[0].Bars[0].Width, gap.X, 3);
    }

    [Fact]
    public void An_overlap_is_marked_on_both_rows_at_the_same_place()
    {
        var drawn = Draw(
            Link(1, LinkKind.Report, "1950-01-01", "1960-01-01", overlaps: [new(2, Certainty.Certain, new(300, 400), false)]), Link(2, LinkKind.Report, "1958-01-01", "1970-01-01"));
        var (a, b) = (drawn.Rows[0].Bars.Single(x => x.Kind == Stretch.Overlap), drawn.Rows[1].Bars.Single(x => x.Kind == Stretch.Overlap));
        Assert.Equal(a, b);
        Assert.Equal(drawn.Rows[1].Bars[0].X, a.X, 3);
        Assert.Equal(drawn.Rows[0].Bars[0].X + drawn.Rows[0].Bars[0].Width, a.X + a.Width, 3);
    }

    [Fact]
    public void Every_bar_lies_within_the_drawing_whatever_the_dates()
    {
        string?[] dates = [null, "1950", "../1955", "1950-05/..", "/1961", "19XX", "1975-06-01~", "2024-03-01", "-0100"];
        foreach (var kind in Enum.GetValues<LinkKind>())
            foreach (var from in dates)
                foreach (var to in dates)
                {
                    var drawn = Draw(Link(1, kind, from, to, Certain), Link(2, LinkKind.Report, "1950", null));
                    Assert.All(drawn.Rows.SelectMany(r => r.Bars), b => Assert.True(b.X >= Lanes.Labels && b.Width > 0 && b.X + b.Width <= Lanes.Whole, $"{kind} {from} {to}: {b}"));
                }
    }

    static IEnumerable<Stretch> Kinds(Lanes drawn, int row) => drawn.Rows[row].Bars.Select(b => b.Kind);

    static Lanes Draw(params HoldingLink[] links) => ChainDrawing.Of(new(links, [], []), Today, l => $"holder {l.Entry}");

    static HoldingLink Link(long entry, LinkKind kind, string? from, string? to, ChainGap? gap = null, IReadOnlyList<LinkOverlap>? overlaps = null) => new(
        entry, "AcquisitionReported", kind, LinkState.Held, [new(new Who(new Alias(1), Role.Owner, null), null)], from is null ? null : Edtf.Parse(from), to is null ? null : Edtf.Parse(to),
        null, null, null, [], [], gap, overlaps ?? []);
}
