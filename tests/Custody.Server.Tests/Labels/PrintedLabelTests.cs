using System.Collections.Concurrent;
using Custody.Server.Labels;
using SkiaSharp;

namespace Custody.Server.Tests.Labels;

/// <summary>What was printed is read back as a stranger would read it: from pixels.</summary>
public sealed class PrintedLabelTests
{
    const double PixelsPerMm = PdfRaster.Dpi / 25.4;

    public static TheoryData<string> Sheets() => [.. LabelSheet.Common.Select(s => s.Name)];

    static LabelSheet Sheet(string name) => LabelSheet.Common.Single(s => s.Name == name);

    // Each sheet is printed and rasterised once for all the tests that only look at it.
    static readonly ConcurrentDictionary<string, SKBitmap> FullPages = new();

    static SKBitmap FullPage(LabelSheet sheet) =>
      FullPages.GetOrAdd(sheet.Name, _ => PdfRaster.Pages(LabelPrint.Pdf(SampleLabels.Faces(sheet.PerPage), sheet))[0]);

    static SKBitmap At(SKBitmap page, LabelSheet sheet, int index)
    {
        var (_, x, y) = sheet.Place(index);
        return CodeReader.Crop(page, x * PixelsPerMm, y * PixelsPerMm, sheet.LabelWidth * PixelsPerMm, sheet.LabelHeight * PixelsPerMm);
    }

    [Theory, MemberData(nameof(Sheets))]
    public void Every_code_of_a_printed_sheet_is_read_at_its_own_place(string name)
    {
        var sheet = Sheet(name);
        var faces = SampleLabels.Faces(sheet.PerPage);
        var pages = PdfRaster.Pages(LabelPrint.Pdf(faces, sheet, startAt: 2));
        // The last label does not fit behind the skipped position and opens a second page.
        Assert.Equal(2, pages.Count);
        Assert.Null(CodeReader.Read(At(pages[0], sheet, 0)));
        for (var i = 0; i < faces.Count; i++)
        {
            var place = sheet.Place(i + 1);
            Assert.Equal(faces[i].Url, CodeReader.Read(At(pages[place.Page], sheet, i + 1))?.Text);
        }
    }

    [Theory, MemberData(nameof(Sheets))]
    public void The_page_has_the_size_it_says(string name)
    {
        var sheet = Sheet(name);
        var page = FullPage(sheet);
        Assert.InRange(page.Width, sheet.PageWidth * PixelsPerMm - 2, sheet.PageWidth * PixelsPerMm + 2);
        Assert.InRange(page.Height, sheet.PageHeight * PixelsPerMm - 2, sheet.PageHeight * PixelsPerMm + 2);
    }

    [Theory, MemberData(nameof(Sheets))]
    public void A_printed_code_has_its_quiet_zone_and_modules_large_enough(string name)
    {
        var sheet = Sheet(name);
        var label = At(FullPage(sheet), sheet, 0);
        var (left, top, module, size) = Symbol(label);
        Assert.True(module / PixelsPerMm >= 0.33, FormattableString.Invariant($"module {module / PixelsPerMm:0.00} mm"));
        var (quiet, side) = (4 * module - 1, size * module);
        // Inside its own label: what lies beyond the cut may be anything.
        Assert.True(left >= quiet && top >= quiet && top + side + quiet <= label.Height);
        Assert.InRange(left / PixelsPerMm, 0, 7);
        foreach (var zone in (SKRect[])[Zone(left - quiet, top - quiet, left - 1, top + side + quiet), Zone(left + side + 1, top - quiet, left + side + quiet, top + side + quiet),
      Zone(left - quiet, top - quiet, left + side + quiet, top - 1), Zone(left - quiet, top + side + 1, left + side + quiet, top + side + quiet)])
            Assert.True(AllWhite(label, zone), $"ink in the quiet zone of {name}: {zone}");
    }

    [Theory]
    [InlineData("a4-21", 7f)]
    [InlineData("a4-21", 30f)]
    [InlineData("letter-30", 7f)]
    [InlineData("letter-30", 30f)]
    [InlineData("letter-30", 187f)]
    public void A_tilted_label_is_read(string name, float degrees)
    {
        var sheet = Sheet(name);
        var faces = SampleLabels.Faces(5);
        var page = FullPage(sheet);
        Assert.Equal(faces.Select(f => f.Url), faces.Select((_, i) => CodeReader.Read(CodeReader.Turned(At(page, sheet, i), degrees))?.Text));
    }

    [Theory]
    [InlineData("a4-21")]
    [InlineData("letter-30")]
    public void A_label_blurred_over_more_than_a_module_is_read(string name)
    {
        var sheet = Sheet(name);
        var faces = SampleLabels.Faces(5);
        var page = FullPage(sheet);
        Assert.Equal(faces.Select(f => f.Url), faces.Select((_, i) =>
        {
            var label = At(page, sheet, i);
            // A Gaussian of 0.3 modules smears an edge over some 1.2 modules (4 sigma).
            return CodeReader.Read(CodeReader.Blurred(label, (float)(Symbol(label).Module * 0.3)))?.Text;
        }));
    }

    // Sheets whose labels have room for the sturdy symbol. The others carry the small one, which is not promised to survive this.
    [Theory]
    [InlineData("a4-8")]
    [InlineData("a4-14")]
    [InlineData("a4-21")]
    [InlineData("a4-24")]
    [InlineData("letter-10")]
    public void A_label_an_inch_and_a_half_high_with_a_quarter_of_its_symbol_covered_is_read_if_the_quarter_holds_no_finder_pattern(string name)
    {
        var sheet = Sheet(name);
        var faces = SampleLabels.Faces(6);
        var page = FullPage(sheet);
        for (var i = 0; i < faces.Count; i++)
        {
            var label = At(page, sheet, i);
            var (left, top, module, size) = Symbol(label);
            var half = size / 2.0 * module;
            foreach (var colour in (SKColor[])[SKColors.White, SKColors.Black, SKColors.Gray])
                Assert.Equal(faces[i].Url, CodeReader.ReadFrames(CodeReader.Covered(label, left + half, top + half, half, half, colour))?.Text);
        }
    }

    [Fact]
    public void A_label_with_a_covered_finder_pattern_is_not_promised_to_be_read()
    {
        var label = At(FullPage(LabelSheet.A4With21), LabelSheet.A4With21, 0);
        var (left, top, module, size) = Symbol(label);
        // The standard's redundancy lies in the codewords; the finders have none. Said here so that nobody reads more into the test above.
        Assert.Null(CodeReader.ReadFrames(CodeReader.Covered(label, left - module, top - module, size / 2.0 * module, size / 2.0 * module, SKColors.White)));
    }

    [Theory, MemberData(nameof(Sheets))]
    public void A_second_reader_reads_the_same_codes(string name)
    {
        if (Tool.Find("zbarimg", "zbar-tools") is not { } zbar) return;
        var sheet = Sheet(name);
        var folder = Directory.CreateTempSubdirectory("custody-labels-").FullName;
        try
        {
            var files = Enumerable.Range(0, sheet.PerPage).Select(i => Path.Combine(folder, i + ".png")).ToArray();
            for (var i = 0; i < files.Length; i++)
            {
                using var png = At(FullPage(sheet), sheet, i).Encode(SKEncodedImageFormat.Png, 100);
                File.WriteAllBytes(files[i], png.ToArray());
            }
            var read = Tool.Run(zbar, ["--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", .. files]).Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
            Assert.Equal(SampleLabels.Faces(sheet.PerPage).Select(f => f.Url), read);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void The_small_reader_of_PDF_operators_sees_what_poppler_sees()
    {
        var sheet = LabelSheet.LetterWith30;
        var faces = SampleLabels.Faces(3);
        var page = PdfRaster.ByOperators(LabelPrint.Pdf(faces, sheet))[0];
        Assert.Equal(faces.Select(f => f.Url), faces.Select((_, i) => CodeReader.Read(At(page, sheet, i))?.Text));
    }

    [Theory]
    [InlineData(150)]
    [InlineData(203)]
    [InlineData(300)]
    [InlineData(600)]
    public void A_label_as_PNG_is_read_at_every_printer_s_resolution(int dpi)
    {
        var face = SampleLabels.Face(3);
        using var png = SKBitmap.Decode(LabelPrint.Png(face, dpi));
        Assert.Equal(face.Url, CodeReader.Read(png)?.Text);
        var (left, top, module, size) = Symbol(png);
        Assert.Equal(Math.Round(module), module, 9);
        Assert.Equal((byte)0, png.GetPixel((int)left, (int)top).Green);
        Assert.Equal((byte)255, png.GetPixel((int)left - 1, (int)top).Green);
    }

    [Fact]
    public void A_label_as_SVG_is_read_and_says_in_words_what_it_is()
    {
        var face = SampleLabels.Face(4, house: "Hollowell & Sons <Port Avery>");
        var svg = System.Xml.Linq.XDocument.Parse(LabelPrint.Svg(face));
        Assert.Contains("Hollowell & Sons <Port Avery>", svg.Root!.Elements().Single(e => e.Name.LocalName == "title").Value, StringComparison.Ordinal);
        using var bitmap = new SKBitmap(635, 381);
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.White);
        canvas.Scale(10);
        foreach (var filled in svg.Root.Elements().Where(e => (string?)e.Attribute("fill") == "#000"))
        {
            using var path = SKPath.ParseSvgPathData((string)filled.Attribute("d")!);
            using var black = new SKPaint { Color = SKColors.Black };
            canvas.DrawPath(path, black);
        }
        Assert.Equal(face.Url, CodeReader.Read(bitmap)?.Text);
    }

    /// <summary>The symbol's left and top edge, module side (pixels) and modules a side, measured from the ink.</summary>
    static (double Left, double Top, double Module, int Size) Symbol(SKBitmap label)
    {
        // ZXing gives the finders' centres: bottom left, top left, top right. A finder is 7 modules wide, its centre 3.5 inside the symbol.
        var points = CodeReader.Read(label)!.ResultPoints;
        var (row, column, across) = ((int)points[1].Y, (int)points[1].X, (int)points[2].X);
        var left = column - Outermost(d => label.GetPixel(column - d, row));
        var top = row - Outermost(d => label.GetPixel(column, row - d));
        var width = across + Outermost(d => label.GetPixel(across + d, row)) + 1 - left;
        // Two sizes are printed: versions 5 and 12. The finders' distance in modules is size - 7.
        var rough = 7 + 7 * (points[2].X - points[1].X) / (2 * (points[1].X - left));
        var size = rough < 51 ? 37 : 65;
        return (left, top, width / (double)size, size);
    }

    /// <summary>From a finder's centre outwards: its dark core, its light ring, its dark border; the last pixel of ink.</summary>
    static int Outermost(Func<int, SKColor> along)
    {
        var d = 0;
        foreach (var dark in (bool[])[true, false, true])
            while (along(d).Green < 128 == dark) d++;
        return d - 1;
    }

    static SKRect Zone(double left, double top, double right, double bottom) => new((float)left, (float)top, (float)right, (float)bottom);

    static bool AllWhite(SKBitmap picture, SKRect zone)
    {
        for (var y = (int)Math.Max(0, zone.Top); y < Math.Min(picture.Height, zone.Bottom); y++)
        {
            for (var x = (int)Math.Max(0, zone.Left); x < Math.Min(picture.Width, zone.Right); x++)
                if (picture.GetPixel(x, y).Green < 128) return false;
        }
        return true;
    }
}
