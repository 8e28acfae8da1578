using FsCheck;
using FsCheck.Fluent;
using static Custody.Evidence.Tests.Surface.Placing;

namespace Custody.Evidence.Tests.Surface;

public class SurfaceMapTests
{
    // A handle 4 in round up to 10 in, then a taper to 8 in round at 20 in, then straight to 30 in.
    static readonly SurfaceMap Map = new(Shape(("0", "4"), ("10", "4"), ("20", "8"), ("30", "8")));

    [Theory]
    [InlineData(SpotForm.Point, "3", "4", "10", null, "place-form")]
    [InlineData(SpotForm.Point, "3", null, null, null, "place-form")]
    [InlineData(SpotForm.Band, "3", "4", "10", null, "place-form")]
    [InlineData(SpotForm.Patch, "3", "4", "10", null, "place-form")]
    [InlineData(SpotForm.Band, "4", "3", null, null, "place-length")]
    [InlineData(SpotForm.Band, "-1", "3", null, null, "place-length")]
    [InlineData(SpotForm.Point, "3", null, "360", null, "place-angle")]
    [InlineData(SpotForm.Patch, "3", "4", "-1", "10", "place-angle")]
    [InlineData(SpotForm.Patch, "3", "4", "10", "359.9", null)]
    public void A_place_has_the_bounds_of_its_form(SpotForm form, string from, string? to, string? fromAngle, string? toAngle, string? code) =>
        Assert.Equal(code, Refused(form, from, to, fromAngle, toAngle));

    [Fact]
    public void A_place_is_measured_in_lengths() => Assert.Equal("place-length", Refused(SpotForm.Point, "3", null, "10", null, "[oz_av]"));

    // Worked by hand: girth times length, the taper's mean girth, a quarter of the round.
    [Fact]
    public void Surface_is_girth_along_the_length_times_the_part_of_the_round()
    {
        Assert.Equal("40.00", Map.SquareInches(Band("0", "10")).Text);
        Assert.Equal("60.00", Map.SquareInches(Band("10", "20")).Text);
        Assert.Equal("180.00", Map.SquareInches(Band("0", "30")).Text);
        Assert.Equal("15.00", Map.SquareInches(Patch("10", "20", "45", "135")).Text);
        Assert.Equal("15.00", Map.SquareInches(Patch("10", "20", "315", "45")).Text); // through 0
        Assert.Equal("0.00", Map.SquareInches(Point("5", "20")).Text);
        Assert.Equal("1.50", Map.InchesRound(15, 90).Text); // 6 in round there
    }

    [Fact]
    public void A_place_beyond_the_barrels_end_is_refused()
    {
        Assert.True(Map.Holds(Band("0", "30"), out _));
        Assert.False(Map.Holds(Band("29", "30.1"), out var refusal));
        Assert.Equal("place-off-the-bat", refusal.Code);
    }

    [Theory]
    [InlineData("350", "20", "10", "40", "10.0")] // both through or past 0
    [InlineData("350", "20", "340", "355", "5.0")]
    [InlineData("10", "20", "20", "30", "0.0")] // touching only
    [InlineData("10", "20", "21", "30", null)]
    [InlineData("300", "200", "190", "310", "20.0")] // two wide ones that meet at both ends
    [InlineData("0", "10", "350", "0", "0.0")]
    public void Angles_overlap_round_the_bat_through_zero(string a0, string a1, string b0, string b1, string? degrees)
    {
        var (a, b) = (Patch("0", "1", a0, a1), Patch("0", "1", b0, b1));
        Assert.Equal((degrees is not null, degrees ?? "0.0"), (Map.Overlap(a, b).Touch, Map.Overlap(a, b).Degrees!.Text));
        Assert.Equal(Map.Overlap(a, b).Degrees, Map.Overlap(b, a).Degrees);
    }

    // Every whole degree of a patch counted one by one, as the reference.
    [Fact]
    public void Overlap_round_the_bat_is_that_of_counting_degrees() =>
        Check.One(Config.QuickThrowOnFailure.WithMaxTest(500), Prop.ForAll(Gen.Choose(0, 359).ListOf(4).ToArbitrary(), angles =>
        {
            static HashSet<int> Covered(int from, int to) => [.. Enumerable.Range(0, 360).Where(d => (d - from + 360) % 360 < (to - from + 360) % 360)];
            var (a, b) = (Covered(angles[0], angles[1]), Covered(angles[2], angles[3]));
            static Spot Of(int from, int to) => Patch("2", "3", $"{from}", $"{to}");
            return Map.Overlap(Of(angles[0], angles[1]), Of(angles[2], angles[3])).Degrees!.ToDouble() == a.Intersect(b).Count();
        }));

    [Fact]
    public void A_finding_is_set_against_the_usual_zone_of_a_habit()
    {
        // Tar from 2 to 12 in all round; the habit's zone runs from 6 to 18 in.
        var overlap = Map.Overlap(Band("2", "12"), Band("6", "18"));
        Assert.Equal(("6.00", "360.0"), (overlap.Inches.Text, overlap.Degrees!.Text));
        Assert.Equal("24.80", overlap.SquareInches!.Text); // 4 * 4 + 2 * 4.4
        Assert.Equal("60.8", overlap.PercentOfFirst.Text); // of 40.8
        Assert.Equal("100.0", Map.Overlap(Point("7", "10"), Band("6", "18")).PercentOfFirst.Text);
        Assert.Equal("0.0", Map.Overlap(Point("5", "10"), Band("6", "18")).PercentOfFirst.Text);
    }

    [Fact]
    public void Angles_from_different_marks_are_not_compared_and_lengths_still_are()
    {
        var overlap = Map.Overlap(Patch("2", "12", "0", "10"), Patch("6", "8", "200", "220", "another mark"));
        Assert.True(overlap.Touch);
        Assert.False(overlap.AnglesCompared);
        Assert.Null(overlap.Degrees);
        Assert.Null(overlap.SquareInches);
        Assert.Equal(("2.00", "20.0"), (overlap.Inches.Text, overlap.PercentOfFirst.Text));
        Assert.True(Map.Overlap(Band("2", "12"), Patch("6", "8", "200", "220", "another mark")).AnglesCompared); // a band has no angle
    }
}
