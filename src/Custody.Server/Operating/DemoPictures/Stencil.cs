using Custody.Server.Labels;
using SkiaSharp;

namespace Custody.Server.Operating.DemoPictures;

/// <summary>A drawn mark as coverage 0 to 1, laid on a surface measured in inches around its centre. Lettering is the project's own.</summary>
sealed class Stencil
{
    const int PixelsPerInch = 130;

    readonly int width, height;
    readonly byte[] coverage;

    Stencil(double widthInches, double heightInches, Action<SKCanvas> draw)
    {
        (width, height) = ((int)(widthInches * PixelsPerInch), (int)(heightInches * PixelsPerInch));
        using var bitmap = new SKBitmap(width, height, SKColorType.Gray8, SKAlphaType.Opaque);
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.Black);
        canvas.Translate(width / 2f, height / 2f);
        canvas.Scale(PixelsPerInch);
        draw(canvas);
        coverage = new byte[width * height];
        for (var y = 0; y < height; y++) bitmap.GetPixelSpan().Slice(y * bitmap.RowBytes, width).CopyTo(coverage.AsSpan(y * width));
    }

    /// <summary>Coverage at inches right and down of the centre, joined linearly between pixels.</summary>
    public float At(double right, double down)
    {
        var (px, py) = (right * PixelsPerInch + width / 2.0 - 0.5, down * PixelsPerInch + height / 2.0 - 0.5);
        var (ix, iy) = ((int)Math.Floor(px), (int)Math.Floor(py));
        if (ix < 0 || iy < 0 || ix >= width - 1 || iy >= height - 1) return 0;
        var (fx, fy, i) = ((float)(px - ix), (float)(py - iy), iy * width + ix);
        var top = coverage[i] + (coverage[i + 1] - coverage[i]) * fx;
        var bottom = coverage[i + width] + (coverage[i + width + 1] - coverage[i + width]) * fx;
        return (top + (bottom - top) * fy) / 255f;
    }

    /// <summary>An oval with up to three lines of words, the middle or only one large.</summary>
    public static Stencil Brand(IReadOnlyList<string> lines) => new(4.2, 2.0, canvas =>
    {
        using var pen = Pen(0.045f);
        canvas.DrawOval(0, 0, 1.95f, 0.88f, pen);
        pen.StrokeWidth = 0.02f;
        canvas.DrawOval(0, 0, 1.83f, 0.78f, pen);
        if (lines.Count == 1) Words(canvas, lines[0], 0, 2.9, 0.42);
        if (lines.Count < 2) return;
        Words(canvas, lines[0], -0.42, 2.1, 0.2);
        Words(canvas, lines[1], 0.02, 3.0, 0.38);
        if (lines.Count > 2) Words(canvas, lines[2], 0.46, 2.0, 0.17);
    });

    /// <summary>One line of block letters.</summary>
    /// <param name="capHeight">Inches.</param>
    public static Stencil Line(string text, double capHeight) =>
      new(Lettering.Width(text, capHeight) + 0.5, capHeight * 2, canvas => Words(canvas, text, 0, 100, capHeight));

    /// <summary>A word centred on a height, shrunk to a width.</summary>
    static void Words(SKCanvas canvas, string text, double middle, double widest, double capHeight)
    {
        capHeight *= Math.Min(1, widest / Lettering.Width(text, capHeight));
        var steps = Lettering.Write(text, -Lettering.Width(text, capHeight) / 2, middle + capHeight / 2, capHeight);
        LabelPng.DrawLine(canvas, new(steps, capHeight * 0.15), SKColors.White);
    }

    static SKPaint Pen(float width) => new() { Color = SKColors.White, Style = SKPaintStyle.Stroke, StrokeWidth = width, IsAntialias = true };
}
