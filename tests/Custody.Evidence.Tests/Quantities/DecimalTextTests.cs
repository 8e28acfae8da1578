using System.Globalization;
using System.Numerics;
using System.Text.RegularExpressions;
using FsCheck;
using FsCheck.Fluent;

namespace Custody.Evidence.Tests.Quantities;

public class DecimalTextTests
{
    [Theory]
    [InlineData("0")]
    [InlineData("0.0")]
    [InlineData("-0.01")]
    [InlineData("34.250")]
    [InlineData("1000000000000000000000000000000000000000.5")]
    public void A_number_is_kept_as_written(string text) => Assert.Equal(text, DecimalText.Parse(text).Text);

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("-")]
    [InlineData(".")]
    [InlineData(".5")]
    [InlineData("5.")]
    [InlineData("00")]
    [InlineData("01")]
    [InlineData("-01.5")]
    [InlineData("-0")]
    [InlineData("-0.00")]
    [InlineData("+1")]
    [InlineData(" 1")]
    [InlineData("1 ")]
    [InlineData("1,5")]
    [InlineData("1e3")]
    [InlineData("1.2.3")]
    [InlineData("--1")]
    [InlineData("１")]
    [InlineData("1\n")]
    [InlineData("NaN")]
    public void Any_other_spelling_is_refused(string? text)
    {
        Assert.False(DecimalText.TryParse(text, out _, out var refusal));
        Assert.Equal("decimal-form", refusal.Code);
        Assert.False(DecimalText.IsWellFormed(text));
    }

    [Fact]
    public void A_number_longer_than_any_measured_thing_needs_is_refused_though_well_formed()
    {
        var text = new string('1', DecimalText.LongestText + 1);
        Assert.True(DecimalText.IsWellFormed(text));
        Assert.False(DecimalText.TryParse(text, out _, out var refusal));
        Assert.Equal("decimal-too-long", refusal.Code);
    }

    [Fact]
    public void The_form_is_the_one_the_entries_use()
    {
        var form = new Regex(@"\A-?(0|[1-9][0-9]*)(\.[0-9]+)?\z");
        var zero = new Regex(@"\A-[0.]*\z");
        var texts = Gen.Elements('-', '0', '1', '9', '.').ListOf().Select(c => new string([.. c])).ToArbitrary();
        Check.One(Config.QuickThrowOnFailure.WithMaxTest(2000), Prop.ForAll(texts,
            t => DecimalText.IsWellFormed(t) == (form.IsMatch(t) && !zero.IsMatch(t))));
    }

    [Fact]
    public void Sums_differences_products_and_order_are_those_of_the_platform_decimal()
    {
        var numbers = Gen.Choose(-99_999, 99_999).SelectMany(n => Gen.Choose(0, 4).Select(s => (n, s))).ToArbitrary();
        Check.One(Config.QuickThrowOnFailure.WithMaxTest(1000), Prop.ForAll(numbers, numbers, (x, y) =>
        {
            var (a, b) = (DecimalText.Of(x.n, x.s), DecimalText.Of(y.n, y.s));
            var (p, q) = (decimal.Parse(a.Text, CultureInfo.InvariantCulture), decimal.Parse(b.Text, CultureInfo.InvariantCulture));
            return Same(a + b, p + q) && Same(a - b, p - q) && Same(a * b, p * q) && Math.Sign(a.CompareTo(b)) == p.CompareTo(q)
                && Same(a.Round(1, Rounding.HalfAwayFromZero), decimal.Round(p, 1, MidpointRounding.AwayFromZero))
                && Same(a.Round(1, Rounding.HalfToEven), decimal.Round(p, 1, MidpointRounding.ToEven))
                && Same(a.Round(1, Rounding.TowardsZero), decimal.Round(p, 1, MidpointRounding.ToZero));
        }));
    }

    [Theory]
    [InlineData("1", "3", 3, Rounding.HalfAwayFromZero, "0.333")]
    [InlineData("2", "3", 3, Rounding.HalfAwayFromZero, "0.667")]
    [InlineData("-2", "3", 3, Rounding.HalfAwayFromZero, "-0.667")]
    [InlineData("2", "-3", 0, Rounding.AwayFromZero, "-1")]
    [InlineData("-2", "3", 0, Rounding.TowardsZero, "0")]
    [InlineData("1", "8", 2, Rounding.HalfToEven, "0.12")]
    [InlineData("3", "8", 2, Rounding.HalfToEven, "0.38")]
    [InlineData("1", "8", 2, Rounding.HalfAwayFromZero, "0.13")]
    [InlineData("0.000001", "1000", 2, Rounding.AwayFromZero, "0.01")]
    [InlineData("100", "0.25", 1, Rounding.HalfToEven, "400.0")]
    public void A_quotient_is_rounded_as_named(string a, string b, int places, Rounding rounding, string expected) =>
        Assert.Equal(expected, DecimalText.Parse(a).DividedBy(DecimalText.Parse(b), places, rounding).Text);

    [Fact]
    public void Trailing_zeros_tell_spellings_apart_but_not_numbers()
    {
        var (plain, longer) = (DecimalText.Parse("34"), DecimalText.Parse("34.0"));
        Assert.True(plain != longer && plain.CompareTo(longer) == 0);
        Assert.Equal("34", longer.Reduced().Text);
        Assert.Equal("340", DecimalText.Of(new BigInteger(340), 0).Reduced().Text);
        Assert.Equal("34.00", plain.Round(2, Rounding.HalfToEven).Text);
    }

    static bool Same(DecimalText text, decimal number) => decimal.Parse(text.Text, CultureInfo.InvariantCulture) == number && DecimalText.IsWellFormed(text.Text);
}
