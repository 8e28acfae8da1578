using PdfSharp.Drawing;
using PdfSharp.Pdf;

namespace Custody.Server.Labels;

/// <summary>Draws labels on PDF pages, in millimetres.</summary>
static class LabelPdf
{
    public static byte[] Write(IReadOnlyList<LabelFace> faces, LabelSheet sheet, int startAt)
    {
        using var document = new PdfDocument();
        document.Info.Title = "Labels";
        document.Info.Creator = "Custody";
        foreach (var page in faces.Select((face, i) => (face, Place: sheet.Place(startAt - 1 + i))).GroupBy(l => l.Place.Page))
            DrawPage(document.AddPage(), sheet, page.Select(l => (l.face, l.Place.X, l.Place.Y)));
        using var memory = new MemoryStream();
        document.Save(memory, closeStream: false);
        return memory.ToArray();
    }

    static void DrawPage(PdfPage page, LabelSheet sheet, IEnumerable<(LabelFace Face, double X, double Y)> labels)
    {
        page.Width = XUnit.FromMillimeter(sheet.PageWidth);
        page.Height = XUnit.FromMillimeter(sheet.PageHeight);
        using var paper = XGraphics.FromPdfPage(page, XGraphicsUnit.Millimeter);
        foreach (var (face, x, y) in labels)
        {
            var kept = paper.Save();
            paper.TranslateTransform(x, y);
            DrawPdf(paper, LabelLayout.Draw(face, sheet.LabelWidth, sheet.LabelHeight));
            paper.Restore(kept);
        }
    }

    static void DrawPdf(XGraphics paper, LabelDrawing label)
    {
        // One path for the whole symbol: printers fill it in one go and leave no hairlines between modules.
        var symbol = new XGraphicsPath { FillMode = XFillMode.Winding };
        foreach (var box in label.Boxes()) symbol.AddRectangle(box.X, box.Y, box.Width, box.Height);
        paper.DrawPath(XBrushes.Black, symbol);
        foreach (var line in label.Lines)
        {
            var pen = new XPen(XColors.Black, line.PenWidth) { LineCap = XLineCap.Round, LineJoin = XLineJoin.Round };
            var at = new XPoint();
            // One path per stroke: the library joins the strokes of one path with a line.
            var path = new XGraphicsPath();
            foreach (var s in line.Steps)
            {
                if (s.Kind == 'M')
                {
                    paper.DrawPath(pen, path);
                    path = new XGraphicsPath();
                }
                else if (s.Kind == 'L') path.AddLine(at.X, at.Y, s.X, s.Y);
                else path.AddBezier(at.X, at.Y, s.X1, s.Y1, s.X2, s.Y2, s.X, s.Y);
                at = new(s.X, s.Y);
            }
            paper.DrawPath(pen, path);
        }
    }
}
