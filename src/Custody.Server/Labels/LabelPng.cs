using SkiaSharp;

namespace Custody.Server.Labels;

/// <summary>Draws one label on whole pixels.</summary>
static class LabelPng
{
    public static byte[] Write(LabelDrawing label, int dpi)
    {
        var scale = Math.Max(2, Math.Round(label.Module * dpi / 25.4)) / label.Module;
        using var bitmap = new SKBitmap((int)Math.Ceiling(label.Width * scale), (int)Math.Ceiling(label.Height * scale), SKColorType.Gray8, SKAlphaType.Opaque);
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.White);
        DrawSymbol(canvas, label, scale);
        canvas.Scale((float)scale);
        foreach (var line in label.Lines) DrawLine(canvas, line, SKColors.Black);
        using var data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    /// <summary>On whole pixels and without smoothing: a module's edge is never grey.</summary>
    static void DrawSymbol(SKCanvas canvas, LabelDrawing label, double scale)
    {
        using var black = new SKPaint { Color = SKColors.Black, IsAntialias = false };
        var (left, top, pixels) = (Math.Round(label.SymbolX * scale), Math.Round(label.SymbolY * scale), Math.Round(label.Module * scale));
        foreach (var box in label.Boxes())
        {
            var column = Math.Round((box.X - label.SymbolX) / label.Module);
            var row = Math.Round((box.Y - label.SymbolY) / label.Module);
            var run = Math.Round(box.Width / label.Module);
            canvas.DrawRect((float)(left + column * pixels), (float)(top + row * pixels), (float)(run * pixels), (float)pixels, black);
        }
    }

    /// <summary>One inked line, in whatever unit the canvas is scaled to.</summary>
    public static void DrawLine(SKCanvas canvas, InkedLine line, SKColor colour)
    {
        using var pen = new SKPaint
        {
            Color = colour,
            IsAntialias = true,
            Style = SKPaintStyle.Stroke,
            StrokeWidth = (float)line.PenWidth,
            StrokeCap = SKStrokeCap.Round,
            StrokeJoin = SKStrokeJoin.Round,
        };
        using var path = new SKPathBuilder();
        foreach (var s in line.Steps)
        {
            if (s.Kind == 'M') path.MoveTo((float)s.X, (float)s.Y);
            else if (s.Kind == 'L') path.LineTo((float)s.X, (float)s.Y);
            else path.CubicTo((float)s.X1, (float)s.Y1, (float)s.X2, (float)s.Y2, (float)s.X, (float)s.Y);
        }
        using var drawn = path.Detach();
        canvas.DrawPath(drawn, pen);
    }
}
