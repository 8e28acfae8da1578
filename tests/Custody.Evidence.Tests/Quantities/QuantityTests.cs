namespace Custody.Evidence.Tests.Quantities;

public class QuantityTests
{
    // International yard and pound, 1959: 1 in = 25.4 mm, 1 lb = 453.59237 g, 1 oz = 1/16 lb, all exact.
    [Theory]
    [InlineData("34", "[in_i]", "863.6")]
    [InlineData("34.125", "[in_i]", "866.775")]
    [InlineData("2.61", "[in_i]", "66.294")]
    [InlineData("1", "[oz_av]", "28.349523125")]
    [InlineData("32", "[oz_av]", "907.18474")]
    [InlineData("2", "[lb_av]", "907.18474")]
    [InlineData("33.5", "[oz_av]", "949.7090246875")]
    [InlineData("86.7", "cm", "867")]
    [InlineData("12.5", "%", "0.125")]
    public void The_trades_units_are_exact_in_si(string value, string unit, string inBase) =>
        Assert.Equal(inBase, Quantity.Parse(value, unit).InBase().Text);

    [Theory]
    [InlineData("900", "g", "[oz_av]", 2, "31.75")] // 900 / 28.349523125 = 31.7465...
    [InlineData("865", "mm", "[in_i]", 3, "34.055")] // 865 / 25.4 = 34.05511...
    [InlineData("863.6", "mm", "[in_i]", 1, "34.0")]
    [InlineData("16", "[oz_av]", "[lb_av]", 0, "1")]
    public void Si_in_the_trades_units_is_rounded_to_stated_places(string value, string unit, string other, int places, string expected) =>
        Assert.Equal(expected, Quantity.Parse(value, unit).To(Unit.Find(other)!, places, Rounding.HalfAwayFromZero).Value.Text);

    [Fact]
    public void Every_trade_value_survives_the_way_to_si_and_back()
    {
        for (var thousandths = 0; thousandths < 50_000; thousandths += 7)
        {
            var inches = Quantity.Of(DecimalText.Of(thousandths, 3), Unit.Inch);
            var back = Quantity.Of(inches.InBase(), Unit.Millimetre).To(Unit.Inch, 3, Rounding.HalfToEven);
            Assert.Equal(inches, back);
        }
    }

    [Theory]
    [InlineData("in")]
    [InlineData("[IN_I]")]
    [InlineData("oz")]
    [InlineData("")]
    [InlineData(null)]
    public void A_code_that_is_not_ucum_or_not_recorded_here_is_refused(string? unit)
    {
        Assert.False(Quantity.TryParse("34", unit, out _, out var refusal));
        Assert.Equal("unit-unknown", refusal.Code);
    }

    [Fact]
    public void A_bad_number_is_refused_whatever_the_unit()
    {
        Assert.False(Quantity.TryParse("34 1/8", "[in_i]", out _, out var refusal));
        Assert.Equal("decimal-form", refusal.Code);
    }

    [Fact]
    public void Length_and_weight_are_never_compared()
    {
        var length = Quantity.Parse("34", "[in_i]");
        Assert.Throws<ArgumentException>(() => length.CompareWith(Quantity.Parse("34", "[oz_av]")));
        Assert.Throws<ArgumentException>(() => length.To(Unit.Gram, 1, Rounding.HalfToEven));
        Assert.True(length.CompareWith(Quantity.Parse("863.7", "mm")) < 0);
        Assert.Equal(0, length.CompareWith(Quantity.Parse("86.36", "cm")));
    }
}
