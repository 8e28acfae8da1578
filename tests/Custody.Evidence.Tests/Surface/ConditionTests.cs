using static Custody.Evidence.Tests.Surface.Placing;

namespace Custody.Evidence.Tests.Surface;

public class ConditionTests
{
    static PlacedFinding Seen(string id, Spot? place, string kind = "handleCrack", Quantity? measure = null) => new(id, kind, FindingState.Seen, place, measure);

    static PlacedFinding Absent(string id, Spot? place = null, string kind = "handleCrack") => new(id, kind, FindingState.Absent, place);

    static PlacedFinding Unclear(string id, Spot? place = null, string kind = "handleCrack") => new(id, kind, FindingState.NotAssessable, place);

    static IReadOnlyList<SurfaceChange> Compare(PlacedFinding[] earlier, PlacedFinding[] later) =>
        Condition.TryCompare(earlier, later, SpotTolerance.Usual, out var difference, out var refusal) ? difference.Changes
            : throw new InvalidOperationException(refusal.Code);

    static (ChangeKind, Certainty) One(PlacedFinding[] earlier, PlacedFinding[] later) => Assert.Single(Compare(earlier, later)) is var c ? (c.Change, c.Certainty) : default;

    [Fact]
    public void A_crack_where_none_was_found_before_is_certainly_new()
    {
        var crack = Seen("l1", Patch("4", "6", "350", "2"));
        Assert.Equal((ChangeKind.New, Certainty.Certain), One([Absent("e1")], [crack]));
        Assert.Equal((ChangeKind.New, Certainty.Certain), One([Absent("e1", Band("0", "10"))], [crack]));
    }

    [Fact]
    public void One_that_was_merely_not_mentioned_is_possibly_new_and_one_not_to_be_judged_is_not_compared()
    {
        var crack = Seen("l1", Patch("4", "6", "350", "2"));
        Assert.Equal((ChangeKind.New, Certainty.Possible), One([], [crack]));
        Assert.Equal((ChangeKind.New, Certainty.Possible), One([Absent("e1", Band("10", "20"))], [crack])); // looked for elsewhere
        Assert.Equal((ChangeKind.New, Certainty.Possible), One([Absent("e1", kind: "chip")], [crack]));
        Assert.Equal((ChangeKind.NotComparable, Certainty.Possible), One([Unclear("e1")], [crack]));
        Assert.Equal((ChangeKind.NotComparable, Certainty.Possible), One([Unclear("e1", Band("0", "10"))], [crack]));
    }

    [Fact]
    public void What_is_no_longer_there_is_gone()
    {
        var tape = Seen("e1", Band("1", "7"), "tape");
        Assert.Equal((ChangeKind.Gone, Certainty.Certain), One([tape], [Absent("l1", kind: "tape")]));
        Assert.Equal((ChangeKind.Gone, Certainty.Possible), One([tape], []));
    }

    [Theory]
    [InlineData("4", "6", "350", "2", ChangeKind.Same)]
    [InlineData("4.2", "6.2", "346", "8", ChangeKind.Same)] // a quarter inch and ten degrees are measuring
    [InlineData("4", "6.3", "350", "2", ChangeKind.Grown)]
    [InlineData("3.7", "6", "350", "2", ChangeKind.Grown)]
    [InlineData("4", "6", "350", "13", ChangeKind.Grown)]
    [InlineData("4", "5.7", "350", "2", ChangeKind.Shrunk)]
    [InlineData("6.2", "8", "355", "5", ChangeKind.Grown)] // ends further along than the first reached
    public void A_finding_at_the_same_place_has_grown_when_it_reaches_further_than_measuring_errs(string from, string to, string a, string b, ChangeKind change)
    {
        var found = Assert.Single(Compare([Seen("e1", Patch("4", "6", "350", "2"))], [Seen("l1", Patch(from, to, a, b))]));
        Assert.Equal((change, "e1", "l1"), (found.Change, found.Earlier, found.Later));
    }

    [Fact]
    public void The_growth_is_said_in_inches_and_degrees()
    {
        var grown = Assert.Single(Compare([Seen("e1", Patch("4", "6", "350", "2"))], [Seen("l1", Patch("4", "7.5", "350", "20"))]));
        Assert.Equal(("1.50", "18.0"), (grown.GrownInches!.Text, grown.GrownDegrees!.Text));
    }

    [Fact]
    public void A_crack_two_tolerances_away_is_another_crack()
    {
        var changes = Compare([Seen("e1", Patch("4", "6", "350", "2"))], [Seen("l1", Patch("6.3", "8", "350", "2")), Seen("l2", Patch("4", "6", "20", "30"))]);
        Assert.Equal(["New l1", "New l2", "Gone e1"], changes.Select(c => $"{c.Change} {c.Later ?? c.Earlier}"));
    }

    [Fact]
    public void Nearest_places_are_paired_first_and_each_only_once()
    {
        var changes = Compare([Seen("e1", Point("5", "0")), Seen("e2", Point("5.2", "0"))], [Seen("l1", Point("5.2", "0")), Seen("l2", Point("5.4", "0"))]);
        Assert.Equal(["e2 l1", "New l2", "Gone e1"], changes.OrderByDescending(c => c.Change == ChangeKind.Same).Select(c => c.Change == ChangeKind.Same ? $"{c.Earlier} {c.Later}" : $"{c.Change} {c.Later ?? c.Earlier}"));
    }

    [Fact]
    public void A_place_on_one_side_only_is_not_compared_and_on_neither_side_the_kind_is()
    {
        Assert.All(Compare([Seen("e1", null)], [Seen("l1", Point("5", "0"))]), c => Assert.Equal(ChangeKind.NotComparable, c.Change));
        Assert.Equal(ChangeKind.Same, Assert.Single(Compare([Seen("e1", null)], [Seen("l1", null)])).Change);
    }

    [Fact]
    public void A_measure_grows_beyond_measuring_and_a_count_by_one()
    {
        static PlacedFinding Long(string id, string inches) => Seen(id, Point("5", "0"), measure: In(inches));
        static PlacedFinding Many(string id, string count) => Seen(id, null, "ballMark", Quantity.Parse(count, "1"));
        Assert.Equal(ChangeKind.Same, Assert.Single(Compare([Long("e1", "2")], [Long("l1", "2.25")])).Change);
        Assert.Equal(ChangeKind.Grown, Assert.Single(Compare([Long("e1", "2")], [Long("l1", "2.3")])).Change);
        Assert.Equal(ChangeKind.Grown, Assert.Single(Compare([Many("e1", "16")], [Many("l1", "17")])).Change);
    }

    [Fact]
    public void Different_datum_marks_leave_lengths_to_compare_and_say_so()
    {
        var found = Assert.Single(Compare([Seen("e1", Patch("4", "6", "350", "2"))], [Seen("l1", Patch("4", "6", "90", "102", "another mark"))]));
        Assert.Equal((ChangeKind.Same, false), (found.Change, found.AnglesCompared));
        Assert.Null(found.GrownDegrees);
    }

    [Fact]
    public void One_examination_must_not_contradict_itself_at_one_place()
    {
        Assert.Equal("findings-contradict", Refusal(Seen("f1", Patch("4", "6", "350", "2")), Absent("f2", Band("0", "10"))));
        Assert.Equal("findings-contradict", Refusal(Seen("f1", null), Absent("f2")));
        Assert.Null(Refusal(Seen("f1", Patch("4", "6", "350", "2")), Absent("f2", Band("5", "10")))); // only partly looked at
        Assert.Null(Refusal(Seen("f1", Patch("4", "6", "350", "2")), Absent("f2", Band("0", "10"), "chip")));
        Assert.Null(Refusal(Seen("f1", Patch("4", "6", "350", "2")), Absent("f2"))); // "no other crack"
        Assert.Equal("finding-twice", Refusal(Seen("f1", null), Seen("f1", null)));
    }

    [Fact]
    public void A_negative_tolerance_is_refused()
    {
        Assert.False(Condition.TryCompare([], [], new SpotTolerance(DecimalText.Parse("-0.1"), DecimalText.Parse("1")), out _, out var refusal));
        Assert.Equal("condition-tolerance", refusal.Code);
    }

    static string? Refusal(params PlacedFinding[] findings) => Condition.TryCompare([], findings, SpotTolerance.Usual, out _, out var refusal) ? null : refusal.Code;
}
