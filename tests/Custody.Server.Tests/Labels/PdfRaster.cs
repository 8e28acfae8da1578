using PdfSharp.Pdf.Content;
using PdfSharp.Pdf.Content.Objects;
using PdfSharp.Pdf.IO;
using SkiaSharp;

namespace Custody.Server.Tests.Labels;

/// <summary>PDF pages as pictures at 300 dpi: by poppler where it is installed, otherwise by a small reader of the few operators
/// (ISO 32000 8.5) that label pages use, so that the tests always read real PDF bytes.</summary>
static class PdfRaster
{
    public const double Dpi = 300;

    public static IReadOnlyList<SKBitmap> Pages(byte[] pdf) => Tool.Find("pdftoppm", "poppler-utils") is { } poppler ? ByPoppler(poppler, pdf) : ByOperators(pdf);

    static List<SKBitmap> ByPoppler(string poppler, byte[] pdf)
    {
        var folder = Directory.CreateTempSubdirectory("custody-labels-").FullName;
        try
        {
            File.WriteAllBytes(Path.Combine(folder, "labels.pdf"), pdf);
            Assert.Equal(0, Tool.Run(poppler, "-r", "300", "-gray", "-png", Path.Combine(folder, "labels.pdf"), Path.Combine(folder, "page")).Exit);
            return [.. Directory.EnumerateFiles(folder, "page*.png").Order(StringComparer.Ordinal).Select(SKBitmap.Decode)];
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    public static List<SKBitmap> ByOperators(byte[] pdf)
    {
        using var document = PdfReader.Open(new MemoryStream(pdf), PdfDocumentOpenMode.Import);
        return [.. document.Pages.Cast<PdfSharp.Pdf.PdfPage>().Select(Draw)];
    }

    static SKBitmap Draw(PdfSharp.Pdf.PdfPage page)
    {
        const float scale = (float)(Dpi / 72);
        var (width, height) = (page.Width.Point, page.Height.Point);
        var bitmap = new SKBitmap((int)Math.Ceiling(width * scale), (int)Math.Ceiling(height * scale), SKColorType.Gray8, SKAlphaType.Opaque);
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.White);
        canvas.Scale(scale, -scale);
        canvas.Translate(0, (float)-height);
        using var pen = new SKPaint { Color = SKColors.Black, Style = SKPaintStyle.Stroke, StrokeCap = SKStrokeCap.Round, IsAntialias = true };
        using var brush = new SKPaint { Color = SKColors.Black, IsAntialias = true };
        var path = new SKPathBuilder();
        foreach (var op in ContentReader.ReadContent(page).OfType<COperator>())
        {
            var n = op.Operands.OfType<CNumber>().Select(o => o is CInteger i ? i.Value : (float)((CReal)o).Value).ToArray();
            switch (op.Name)
            {
                case "q": canvas.Save(); break;
                case "Q": canvas.Restore(); break;
                case "cm": canvas.Concat(new SKMatrix(n[0], n[2], n[4], n[1], n[3], n[5], 0, 0, 1)); break;
                case "w": pen.StrokeWidth = n[0]; break;
                case "m": path.MoveTo(n[0], n[1]); break;
                case "l": path.LineTo(n[0], n[1]); break;
                case "c": path.CubicTo(n[0], n[1], n[2], n[3], n[4], n[5]); break;
                case "re": path.AddRect(SKRect.Create(n[0], n[1], n[2], n[3])); break;
                case "h": path.Close(); break;
                case "f" or "f*" or "S" or "n":
                    using (var drawn = path.Detach())
                        if (op.Name != "n") canvas.DrawPath(drawn, op.Name == "S" ? pen : brush);
                    break;
            }
        }
        return bitmap;
    }
}
