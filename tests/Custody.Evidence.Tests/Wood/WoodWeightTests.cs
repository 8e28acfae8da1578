namespace Custody.Evidence.Tests.Wood;

public class WoodWeightTests
{
    static Quantity In(string inches) => Quantity.Parse(inches, "[in_i]");

    static Quantity Oz(string ounces) => Quantity.Parse(ounces, "[oz_av]");

    static Profile Shape(params (string At, string Round)[] girths) =>
        Profile.TryCreate([.. girths.Select(g => new Girth(In(g.At), In(g.Round)))], out var profile, out var refusal) ? profile
            : throw new InvalidOperationException(refusal.Code);

    // A cylinder 10 cm long and 10 cm round holds 10 * 100 / (4 pi) cubic centimetres; a cone's frustum is worked the same way.
    [Fact]
    public void Volume_comes_from_girths()
    {
        Profile.TryCreate([new(Quantity.Parse("0", "cm"), Quantity.Parse("10", "cm")), new(Quantity.Parse("100", "mm"), Quantity.Parse("10", "cm"))], out var cylinder, out _);
        Assert.Equal(79.577, cylinder!.Volume, 0.001);
        Assert.Equal(10, cylinder.Length, 1e-9);
        Profile.TryCreate([new(Quantity.Parse("0", "cm"), Quantity.Parse("10", "cm")), new(Quantity.Parse("3", "cm"), Quantity.Parse("20", "cm"))], out var frustum, out _);
        Assert.Equal(55.704, frustum!.Volume, 0.001); // 3 * (100 + 200 + 400) / (12 pi)
    }

    // Specific gravity at 12 percent moisture by the Wood Handbook.
    [Theory]
    [InlineData("white ash", 0.60)]
    [InlineData("sugar maple", 0.63)]
    [InlineData("yellow birch", 0.62)]
    [InlineData("black ash", 0.49)]
    [InlineData("mockernut hickory", 0.72)]
    [InlineData("pignut hickory", 0.75)]
    [InlineData("shagbark hickory", 0.72)]
    [InlineData("shellbark hickory", 0.69)]
    public void At_twelve_percent_a_cubic_centimetre_weighs_its_specific_gravity_and_an_eighth_in_water(string name, double gravity)
    {
        Assert.Equal(gravity * 1.12, Species.Find(name)!.Density(12), 1e-12);
        Assert.Null(Species.Find("balsa"));
    }

    // 100 in by 4 in girth: 100 * 16 / (4 pi) = 127.324 cubic inches = 2086.47 cc; ash at 12 %: 0.672 g/cc, 1402.11 g, 49.458 oz; less and more a fifth.
    [Fact]
    public void Expected_weight_spreads_round_the_species_mean()
    {
        Assert.True(WoodWeight.TryExpect(Shape(("0", "4"), ("100", "4")), Species.Find("white ash")!, 12, 12, out var ounces, out _));
        Assert.Equal(("39.6", "59.3"), (ounces.Value.Least.Text, ounces.Value.Most.Text));
    }

    static RecordedWeight Weighed(string ounces, string off, double least, double most) => new(Oz(ounces), Oz(off), least, most);

    // 32 oz at 6.2 % becomes 32 * 111.0 / 106.2 = 33.446 oz at 11.0 %.
    [Theory]
    [InlineData("33.4", "0.05", 11.0, 11.0, "33.4", "33.5", false)]
    [InlineData("33.5", "0.05", 11.0, 11.0, "33.4", "33.5", true)]
    [InlineData("33.0", "0.05", 11.0, 11.0, "33.4", "33.5", true)]
    [InlineData("33.0", "0.5", 11.0, 11.0, "32.9", "33.9", false)] // a nominal weight, to the half ounce
    [InlineData("32.5", "0", 6.2, 11.0, "32.0", "33.4", false)] // moisture not known within these
    [InlineData("31.9", "0", 6.2, 11.0, "32.0", "33.4", true)]
    public void Moisture_alone_moves_a_weight_this_far(string later, string off, double least, double most, string from, string to, bool beyond)
    {
        Assert.True(WoodWeight.TryCompare(Weighed("32", "0", 6.2, 6.2), Weighed(later, off, least, most), Oz("0"), Oz("0"), out var result, out _));
        Assert.Equal((from, to, beyond), (result.Expected.Least.Text, result.Expected.Most.Text, result.BeyondDryingAlone));
    }

    // 32 oz at 6.2 to 11.0 % becomes 32 * 108 / 111.0 = 31.135 to 32 * 108 / 106.2 = 32.542 oz at 8 %.
    [Theory]
    [InlineData("31.2", false)]
    [InlineData("31.1", true)]
    [InlineData("32.5", false)]
    [InlineData("32.6", true)]
    public void Moisture_unknown_at_the_earlier_weighing_widens_what_is_expected(string later, bool beyond)
    {
        Assert.True(WoodWeight.TryCompare(Weighed("32", "0", 6.2, 11.0), Weighed(later, "0", 8, 8), Oz("0"), Oz("0"), out var result, out _));
        Assert.Equal(("31.1", "32.5", beyond), (result.Expected.Least.Text, result.Expected.Most.Text, result.BeyondDryingAlone));
    }

    [Fact]
    public void What_was_added_or_taken_off_is_allowed_for()
    {
        Assert.True(WoodWeight.TryCompare(Weighed("32", "0", 9, 9), Weighed("31.2", "0", 9, 9), Oz("-1"), Oz("0"), out var cupped, out _));
        Assert.False(cupped.BeyondDryingAlone);
        Assert.True(WoodWeight.TryCompare(Weighed("32", "0", 9, 9), Weighed("32.7", "0", 9, 9), Oz("-1"), Oz("0.5"), out var taped, out _));
        Assert.True(taped.BeyondDryingAlone);
    }

    [Theory]
    [InlineData("34.9", "-0.100", false)]
    [InlineData("34.8", "-0.200", false)]
    [InlineData("34.79", "-0.210", true)]
    [InlineData("35.25", "0.250", true)]
    public void A_length_beyond_both_tolerances_contradicts(string later, string apart, bool beyond)
    {
        Assert.True(WoodWeight.TryCompareLengths(In("35"), In("0.1"), In(later), In("0.1"), out var result, out _));
        Assert.Equal((apart, beyond), (result.DifferenceInches.Text, result.BeyondMeasuring));
    }

    [Fact]
    public void Bad_measurements_are_refused_by_name()
    {
        Assert.Equal("profile-points", Refusal(("0", "4")));
        Assert.Equal("profile-start", Refusal(("1", "4"), ("2", "4")));
        Assert.Equal("profile-order", Refusal(("0", "4"), ("0", "4"))); // a bat of no length
        Assert.Equal("profile-order", Refusal(("0", "4"), ("3", "4"), ("2", "4")));
        Assert.Equal("profile-girth", Refusal(("0", "4"), ("3", "0")));
        Assert.False(Profile.TryCreate([new Girth(In("0"), Oz("4")), new Girth(In("1"), In("4"))], out _, out var unit));
        Assert.Equal("profile-unit", unit.Code);
        Assert.Equal("wood-moisture", Compare(Weighed("32", "0", 9, 8), Oz("0"), Oz("0")));
        Assert.Equal("wood-moisture", Compare(Weighed("32", "0", 9, 31), Oz("0"), Oz("0")));
        Assert.Equal("wood-moisture", Compare(Weighed("32", "0", double.NaN, 9), Oz("0"), Oz("0")));
        Assert.Equal("wood-weight", Compare(Weighed("0", "0", 9, 9), Oz("0"), Oz("0")));
        Assert.Equal("wood-weight", Compare(Weighed("32", "-1", 9, 9), Oz("0"), Oz("0")));
        Assert.Equal("wood-weight", Compare(new RecordedWeight(In("32"), Oz("0"), 9, 9), Oz("0"), Oz("0")));
        Assert.Equal("wood-change", Compare(Weighed("32", "0", 9, 9), Oz("1"), Oz("0")));
        Assert.Equal("wood-change", Compare(Weighed("32", "0", 9, 9), In("0"), Oz("1")));
        Assert.False(WoodWeight.TryCompareLengths(In("0"), In("0"), In("35"), In("0"), out _, out var length));
        Assert.Equal("wood-length", length.Code);
    }

    static string? Refusal(params (string At, string Round)[] girths) =>
        Profile.TryCreate([.. girths.Select(g => new Girth(In(g.At), In(g.Round)))], out _, out var refusal) ? null : refusal.Code;

    static string? Compare(RecordedWeight record, Quantity least, Quantity most) =>
        WoodWeight.TryCompare(record, Weighed("32", "0", 9, 9), least, most, out _, out var refusal) ? null : refusal.Code;
}
