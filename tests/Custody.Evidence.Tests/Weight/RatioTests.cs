using Custody.Evidence.Weight;

namespace Custody.Evidence.Tests.Weight;

public class RatioTests
{
    static string? Log10(int k, int n, string others, int players, int classes, string a) =>
        Ratio.TryOf(k, n, DecimalText.Parse(others), players, classes, DecimalText.Parse(a), out var log10, out var refusal) ? log10.Text : refusal.Code;

    // p = (4 + 1/2) / (40 + 4/2) = 0.107142..; ((9 + 2p) / (10 + 2)) / p = 7.1666.., by hand.
    [Fact]
    public void The_formula_gives_the_hand_worked_number() => Assert.Equal("0.855", Log10(9, 10, "4", 40, 4, "2"));

    [Fact]
    public void Without_occasions_the_ratio_is_exactly_one()
    {
        Assert.Equal("0.000", Log10(0, 0, "0.25", 12, 3, "0.7"));
        Assert.Equal(1, Ratio.Of(0, 0, 0.013, 0.3));
    }

    // ((0 + A p) / (n + A)) / p does not hold p: a rare value that he never showed speaks against him, however rare.
    [Theory]
    [InlineData("0")]
    [InlineData("30")]
    public void A_value_he_never_showed_counts_against_him_and_never_for_him(string others) => Assert.Equal("-0.699", Log10(0, 4, others, 40, 4, "1"));

    [Theory]
    [InlineData(3, 2, "1", 10, 3, "1", "count-above-total")]
    [InlineData(1, 2, "11", 10, 3, "1", "count-above-total")]
    [InlineData(-1, 2, "1", 10, 3, "1", "counts-negative")]
    [InlineData(1, 2, "0", 0, 3, "1", "comparison-file-empty")]
    [InlineData(1, 2, "1", 10, 1, "1", "values-too-few")]
    [InlineData(1, 2, "1", 10, 3, "0", "likeness-not-positive")]
    public void Counts_that_cannot_be_are_refused_by_name(int k, int n, string others, int players, int classes, string a, string code) =>
        Assert.Equal(code, Log10(k, n, others, players, classes, a));
}
