namespace Custody.Evidence.Tests.Dates;

public class EdtfTests
{
    [Fact]
    public void Values_are_equal_when_typed_the_same_and_only_then()
    {
        Assert.Equal(Edtf.Parse("1952-XX"), Edtf.Parse("1952-XX"));
        Assert.True(Edtf.Parse("1952") == Edtf.Parse("1952") && Edtf.Parse("1952").GetHashCode() == Edtf.Parse("1952").GetHashCode());
        Assert.True(Edtf.Parse("1952") != Edtf.Parse("1952-XX"));
        Assert.False(Edtf.Parse("1952").Equals(null));
    }

    // Level 2, qualification: right of a component for it and all before it, left of it for it alone.
    [Theory]
    [InlineData("2004-06-11%", "%%%")]
    [InlineData("2004-06~-11", "~~ ")]
    [InlineData("2004?-06-11", "?  ")]
    [InlineData("?2004-06-~11", "? ~")]
    [InlineData("2004-%06-11", " % ")]
    [InlineData("2004?-06~-11", "%~ ")]
    [InlineData("~2004-06", "~  ")]
    [InlineData("1960-21?", "?? ")]
    [InlineData("2004-06-11", "   ")]
    public void A_qualifier_holds_for_the_components_the_standard_says(string text, string marks)
    {
        var date = Assert.Single(Edtf.Parse(text).Dates);
        Assert.Equal(marks.Select(m => (Qualifier)" ?~%".IndexOf(m)), [date.OfYear, date.OfMonth, date.OfDay]);
    }

    [Theory]
    [InlineData("1960-21", "1960-03-01", "1960-06-30")]
    [InlineData("1960-26", "1960-06-01", "1960-09-30")]
    [InlineData("1960-23", "1960-09-01", "1960-12-31")]
    [InlineData("1960-24", "1959-12-01", "1961-03-31")]
    [InlineData("1960-29", "1960-09-01", "1960-12-31")]
    [InlineData("1960-30", "1959-12-01", "1961-03-31")]
    [InlineData("1960-31", "1960-03-01", "1960-06-30")]
    [InlineData("1960-32", "1960-06-01", "1960-09-30")]
    [InlineData("1960-33", "1960-01-01", "1960-03-31")]
    [InlineData("1960-36", "1960-10-01", "1960-12-31")]
    [InlineData("1960-37", "1960-01-01", "1960-04-30")]
    [InlineData("1960-39", "1960-09-01", "1960-12-31")]
    [InlineData("1960-40", "1960-01-01", "1960-06-30")]
    [InlineData("1960-41", "1960-07-01", "1960-12-31")]
    [InlineData("196X-21", "1960-03-01", "1969-06-30")]
    [InlineData("1960-21/1961-22", "1960-03-01", "1961-09-30")]
    public void Seasons_and_other_parts_of_a_year_have_these_days(string text, string first, string last)
    {
        var value = Edtf.Parse(text);
        Assert.Equal((first, last), (value.EarliestStart.ToString(), value.LatestEnd.ToString()));
    }

    [Fact]
    public void A_winter_leaves_out_the_summer_between_its_two_readings()
    {
        Assert.Equal(Certainty.Excluded, Precedence.Between(Edtf.Parse("1960-24"), Edtf.Parse("1960-07")).Overlap);
        Assert.Equal(Certainty.Possible, Precedence.Between(Edtf.Parse("1960-24"), Edtf.Parse("1961-01")).Overlap);
    }

    [Theory]
    [InlineData("-0001-02-28/-0001", "-0001-02-28", "-0001-12-31")]
    [InlineData("-019X", "-0199-01-01", "-0190-12-31")]
    [InlineData("-000X", "-0009-01-01", "-0001-12-31")]
    [InlineData("XXXX-02-29", "0000-02-29", "9996-02-29")]
    [InlineData("190X-02-29", "1904-02-29", "1908-02-29")]
    [InlineData("1950S4", "1950-01-01", "1950-12-31")]
    [InlineData("Y1E5", "Y100000-01-01", "Y100000-12-31")]
    [InlineData("{195X,1962}", "1950-01-01", "1962-12-31")]
    [InlineData("{1960..}", "1960-01-01", "open")]
    public void Rarer_forms_have_these_bounds(string text, string first, string last)
    {
        var value = Edtf.Parse(text);
        Assert.Equal((first, last), (value.EarliestStart.ToString(), value.LatestEnd.ToString()));
    }

    [Fact]
    public void A_masked_member_of_an_all_of_set_stays_one_member() =>
        Assert.Equal("1995-12-31", Edtf.Parse("{19X5,2001}").LatestStart.ToString());

    [Theory]
    [InlineData("2026-03-02", false)]
    [InlineData("2026-03-03", true)]
    [InlineData("2026", false)]
    [InlineData("2026-XX", false)]
    [InlineData("2027", true)]
    [InlineData("202X", false)]
    [InlineData("203X", true)]
    [InlineData("[2025,2031]", false)]
    [InlineData("[2031,2032]", true)]
    [InlineData("2026-03/2031", false)]
    [InlineData("2027/..", true)]
    [InlineData("../2031", false)]
    [InlineData("/2031", false)]
    [InlineData("[..2031]", false)]
    [InlineData("[2031..]", true)]
    [InlineData("{2025,2031}", false)]
    [InlineData("2027~", true)]
    public void Only_what_no_reading_puts_early_enough_is_certainly_after_a_day(string text, bool certainly) =>
        Assert.Equal(certainly, Edtf.Parse(text).CertainlyAfter(new DateOnly(2026, 3, 2)));

    [Fact]
    public void Qualifiers_widen_nothing_and_are_said_with_the_relation()
    {
        var plain = Precedence.Between(Edtf.Parse("1952"), Edtf.Parse("1953"));
        Assert.Equal((Certainty.Certain, Certainty.Excluded, false), (plain.EndsBefore, plain.Overlap, plain.RestsOnQualified));
        Assert.Equal(plain with { RestsOnQualified = true }, Precedence.Between(Edtf.Parse("1952~"), Edtf.Parse("1953")));
        Assert.Equal(plain with { RestsOnQualified = true }, Precedence.Between(Edtf.Parse("1952"), Edtf.Parse("1953?")));
    }

    // first, second, ends before, overlap, least gap, most gap (empty: no limit)
    [Theory]
    [InlineData("1952", "1955", "Certain", "Excluded", 730, 1459L)] // 1953 and 1954; 1952-01-02 to 1955-12-30
    [InlineData("1955", "1952", "Excluded", "Excluded", 0, 0L)]
    [InlineData("1952-04-01", "1952-04-01", "Excluded", "Certain", 0, 0L)]
    [InlineData("1952-04-01", "1952-04-02", "Certain", "Excluded", 0, 0L)]
    [InlineData("1952", "1952", "Possible", "Possible", 0, 364L)]
    [InlineData("1950/..", "1955", "Excluded", "Certain", 0, 0L)] // still going on
    [InlineData("1950/", "1955", "Possible", "Possible", 0, 2189L)] // 1950-01-02 to 1955-12-30
    [InlineData("1950", "../1955", "Excluded", "Certain", 0, 0L)] // the second has no beginning
    [InlineData("1950", "/1955", "Possible", "Possible", 0, 2189L)]
    [InlineData("1950", "[1955..]", "Certain", "Excluded", 1461, null)] // 1951 to 1954
    [InlineData("[..1950]", "1955", "Certain", "Excluded", 1461, null)]
    public void Open_and_unknown_ends_relate_like_this(string first, string second, string before, string overlap, long least, long? most) =>
        Assert.Equal(new Precedence(Enum.Parse<Certainty>(before), Enum.Parse<Certainty>(overlap), new DayCount(least, most), false),
            Precedence.Between(Edtf.Parse(first), Edtf.Parse(second)));

    [Fact]
    public void Sets_with_very_many_readings_relate_by_their_outermost_days_without_false_certainty()
    {
        var many = Edtf.Parse("XXXX-12-25");
        Assert.Equal(Certainty.Possible, Precedence.Between(many, Edtf.Parse("1952-07-01")).Overlap);
        Assert.Equal(Certainty.Certain, Precedence.Between(many, Edtf.Parse("Y10000")).EndsBefore);
    }
}
