namespace Custody.Evidence.Tests.Rules;

/// <summary>
/// The limits as printed in the Official Baseball Rules (2012 wording of rule 1.10) and in published histories of them; the first season of
/// cups and the later cup depth are from memory, and the rows say so.
/// </summary>
public class RuleBookTests
{
    static string Flags(string played, BatMeasure measure, string value, string unit = "[in_i]", string? tolerance = null) =>
        string.Join(' ', RuleBook.Standard.Check(Edtf.Parse(played),
            [new BatMeasurement(measure, Quantity.Parse(value, unit), tolerance is null ? null : Quantity.Parse(tolerance, unit))])
            .Select(f => $"{f.Row.Least?.Value.Text}-{f.Row.Most?.Value.Text}:{f.Certainty}"));

    [Theory]
    [InlineData("1950", "2.70", "")] // 2.75 in from 1895
    [InlineData("2015", "2.70", "-2.61:Certain")] // 2.61 in from 2010
    [InlineData("2015", "2.61", "")]
    [InlineData("2009", "2.70", "")]
    [InlineData("2010", "2.70", "-2.61:Certain")]
    [InlineData("2009/2010", "2.70", "-2.61:Possible")]
    [InlineData("2009/2010", "2.80", "-2.75:Certain -2.61:Certain")]
    [InlineData("1894", "2.6", "-2.5:Certain")] // 2.5 in from 1859 at latest
    [InlineData("1858", "2.6", "-2.5:Possible")] // sources give 1857 or 1859
    [InlineData("1856", "2.6", "")]
    [InlineData("1895", "2.6", "")]
    [InlineData("XXXX", "2.70", "-2.5:Possible -2.61:Possible")]
    [InlineData("../2015", "2.70", "-2.5:Possible -2.61:Possible")]
    [InlineData("2015/..", "2.70", "-2.61:Certain")]
    public void The_diameter_is_limited_by_season(string played, string inches, string flags) =>
        Assert.Equal(flags, Flags(played, BatMeasure.Diameter, inches));

    [Theory]
    [InlineData("1950", BatMeasure.Length, "42", "")]
    [InlineData("1950", BatMeasure.Length, "42.01", "-42:Certain")]
    [InlineData("1865", BatMeasure.Length, "43", "-42:Possible")] // sources give 1859 or 1869
    [InlineData("1950", BatMeasure.TreatedHandle, "18.5", "-18:Certain")]
    [InlineData("1950", BatMeasure.TreatedHandle, "18", "")]
    [InlineData("1880", BatMeasure.TreatedHandle, "19", "")]
    [InlineData("1950", BatMeasure.CupDepth, "0.5", "-0:Certain")] // no cup before 1975 or 1976, from memory
    [InlineData("1975", BatMeasure.CupDepth, "0.5", "-0:Possible")]
    [InlineData("1990", BatMeasure.CupDepth, "1", "")]
    [InlineData("1990", BatMeasure.CupDepth, "1.1", "-1:Certain")]
    [InlineData("2020", BatMeasure.CupDepth, "1.1", "-1:Possible")] // later printings say 1.25, from memory
    [InlineData("2020", BatMeasure.CupDepth, "1.3", "-1:Certain -1.25:Certain")]
    [InlineData("1990", BatMeasure.CupDiameter, "0.9", "1-2:Certain")]
    [InlineData("1990", BatMeasure.CupDiameter, "1", "")]
    [InlineData("1990", BatMeasure.CupDiameter, "2.1", "1-2:Certain")]
    [InlineData("1975", BatMeasure.CupDiameter, "2.1", "1-2:Possible")]
    public void Length_handle_and_cup_are_limited_by_season(string played, BatMeasure measure, string inches, string flags) =>
        Assert.Equal(flags, Flags(played, measure, inches));

    [Theory]
    [InlineData("66.3", "mm", null, "-2.61:Certain")] // 2.61 in is 66.294 mm
    [InlineData("66.29", "mm", null, "")]
    [InlineData("66.3", "mm", "0.01", "-2.61:Possible")]
    [InlineData("66.29", "mm", "0.01", "-2.61:Possible")]
    [InlineData("66.31", "mm", "0.01", "-2.61:Certain")]
    [InlineData("6.63", "cm", null, "-2.61:Certain")]
    public void Units_are_converted_exactly_and_tolerance_makes_a_flag_only_possible(string value, string unit, string? tolerance, string flags) =>
        Assert.Equal(flags, Flags("2015", BatMeasure.Diameter, value, unit, tolerance));

    [Fact]
    public void Every_row_names_its_source_and_rows_from_memory_say_so()
    {
        Assert.All(RuleBook.Standard.Rows, r => Assert.NotEmpty(r.Source));
        Assert.Equal(["0", "1.25"], RuleBook.Standard.Rows.Where(r => r.Standing == Standing.FromMemory).Select(r => r.Most!.Value.Text));
    }

    [Fact]
    public void Another_rule_book_can_be_used() => Assert.Empty(new RuleBook([]).Check(Edtf.Parse("1950"),
        [new BatMeasurement(BatMeasure.Length, Quantity.Parse("99", "[in_i]"))]));
}
