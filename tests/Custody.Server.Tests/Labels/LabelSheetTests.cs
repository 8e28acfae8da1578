using Custody.Server.Labels;

namespace Custody.Server.Tests.Labels;

public sealed class LabelSheetTests
{
    [Fact]
    public void Every_common_sheet_fits_its_page_and_fills_it_evenly()
    {
        foreach (var sheet in LabelSheet.Common)
        {
            Assert.Null(sheet.Fault());
            var (_, x, y) = sheet.Place(sheet.PerPage - 1);
            // Stock is cut symmetrically: what is left on the right and below equals the left and top margin.
            Assert.Equal(sheet.MarginLeft, sheet.PageWidth - x - sheet.LabelWidth, 0.3);
            Assert.Equal(sheet.MarginTop, sheet.PageHeight - y - sheet.LabelHeight, 0.3);
        }
    }

    [Fact]
    public void Positions_run_left_to_right_then_down_then_to_the_next_page()
    {
        var sheet = LabelSheet.A4With21;
        Assert.Equal((0, 7.25, 15.15), sheet.Place(0));
        Assert.Equal((0, 73.25, 15.15), sheet.Place(1));
        Assert.Equal((0, 7.25, 53.25), sheet.Place(3));
        Assert.Equal((1, 7.25, 15.15), sheet.Place(21));
    }

    public static TheoryData<LabelSheet, string> Faulty() => new()
  {
    { LabelSheet.A4With21 with { Columns = 4 }, "columns need" },
    { LabelSheet.A4With21 with { Rows = 8 }, "rows need" },
    { LabelSheet.A4With21 with { GutterX = double.NaN }, "no number" },
    { LabelSheet.A4With21 with { MarginTop = -1 }, "negative" },
    { LabelSheet.A4With21 with { LabelHeight = 0 }, "zero" },
    { LabelSheet.A4With21 with { Rows = 0 }, "1 to 100" },
  };

    [Theory, MemberData(nameof(Faulty))]
    public void A_sheet_that_cannot_be_says_why_and_is_not_printed(LabelSheet sheet, string why)
    {
        Assert.Contains(why, sheet.Fault(), StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => LabelPrint.Pdf(SampleLabels.Faces(1), sheet));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(22)]
    public void A_position_the_sheet_does_not_have_is_refused(int startAt) =>
      Assert.Throws<ArgumentException>(() => LabelPrint.Pdf(SampleLabels.Faces(1), LabelSheet.A4With21, startAt));

    [Fact]
    public void Nothing_to_print_is_refused() => Assert.Throws<ArgumentException>(() => LabelPrint.Pdf([], LabelSheet.A4With21));

    [Theory]
    [InlineData(15, 15)]
    [InlineData(20, 60)]
    [InlineData(60, 12)]
    public void A_label_too_small_to_read_is_refused_not_printed_small(double width, double height)
    {
        var thrown = Assert.Throws<ArgumentException>(() => LabelPrint.Svg(SampleLabels.Face(1), width, height));
        Assert.Contains("too small", thrown.Message, StringComparison.Ordinal);
    }
}
