using Custody.Evidence.Weight;

namespace Custody.Evidence.Tests.Weight;

public class VerbalScaleTests
{
    static Wording Words(string low, string high) => VerbalScale.Enfsi2015.Words(DecimalText.Parse(low), DecimalText.Parse(high));

    // The example scale of the ENFSI guideline (2015): 2-10 weak, 10-100 moderate, 100-1,000 moderately strong, 1,000-10,000 strong,
    // 10,000-1,000,000 very strong, from 1,000,000 on extremely strong.
    [Theory]
    [InlineData("0.300", "2.000", "neither")]
    [InlineData("0.301", "2.000", "weak")]
    [InlineData("0.999", "2.000", "weak")]
    [InlineData("1.000", "2.000", "moderate")]
    [InlineData("2.000", "4.000", "moderatelyStrong")]
    [InlineData("3.000", "4.000", "strong")]
    [InlineData("4.000", "7.000", "veryStrong")]
    [InlineData("5.999", "7.000", "veryStrong")]
    [InlineData("6.000", "7.000", "extremelyStrong")]
    public void The_end_nearest_one_picks_the_band(string low, string high, string word)
    {
        Assert.Equal(word, Words(low, high).Word);
        Assert.Equal(word == "neither" ? Direction.Neither : Direction.Proposition, Words(low, high).For);
    }

    [Fact]
    public void The_other_side_is_read_inverted_and_the_direction_is_said()
    {
        var words = Words("-4.200", "-1.500");
        Assert.Equal(("moderate", Direction.Alternative), (words.Word, words.For));
        Assert.Contains("for the alternative rather than the proposition", words.Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("-0.100", "3.000")]
    [InlineData("0.000", "3.000")]
    [InlineData("-3.000", "0.000")]
    [InlineData("-3.000", "-0.300")]
    public void An_interval_that_holds_one_or_ends_near_it_supports_neither(string low, string high) => Assert.Equal("neither", Words(low, high).Word);

    [Fact]
    public void Scales_differ_so_a_result_names_its_own()
    {
        var (low, high) = (DecimalText.Parse("4.500"), DecimalText.Parse("5.000"));
        Assert.Equal("veryStrong", VerbalScale.Enfsi2015.Words(low, high).Word);
        Assert.Equal(("extremelyStrong", "decades-to-10000", 1), VerbalScale.EndingAtTenThousand.Words(low, high) is var w ? (w.Word, w.ScaleId, w.ScaleVersion) : default);
        Assert.Same(VerbalScale.Enfsi2015, VerbalScale.Find("enfsi-2015-example", 1));
        Assert.Null(VerbalScale.Find("enfsi-2015-example", 2));
    }
}
