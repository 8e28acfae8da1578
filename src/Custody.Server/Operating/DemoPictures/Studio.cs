using Custody.Server.Labels;
using SkiaSharp;

namespace Custody.Server.Operating.DemoPictures;

/// <summary>The table, the lamps and the scale: everything in a picture that is not the bat. Lengths in inches, angles of surfaces as unit normals
/// (right, down, towards the camera).</summary>
static class Studio
{
    static readonly Light Paper = Light.Of(0xB9BBBD);

    /// <summary>Grey paper, lit from above, darker to the corners.</summary>
    public static Light Ground(double x, double y, Noise grain)
    {
        var fall = 1 - 0.30 * ((x - 0.5) * (x - 0.5) + (y - 0.4) * (y - 0.4)) * 2.2;
        return Paper * (float)(fall + 0.006 * grain.At(x * 900, y * 900, 0));
    }

    /// <summary>Light given back by a surface: a broad lamp above, a weaker one from below the camera, and the lamp's long reflection.</summary>
    public static Light Lit(Skin skin, double right, double down, double near)
    {
        var main = Math.Max(0, -0.28 * right - 0.62 * down + 0.73 * near);
        var fill = Math.Max(0, 0.3 * right + 0.35 * down + 0.89 * near);
        var shine = Math.Pow(Math.Max(0, -0.12 * right - 0.42 * down + 0.90 * near), 26) * 0.20 * skin.Gloss;
        return skin.Colour * (float)(0.14 + 0.78 * main + 0.20 * fill) + new Light(1, 0.98f, 0.95f) * (float)shine;
    }

    /// <summary>An alternating bar of inches with centimetres below it, and one line of words.</summary>
    /// <param name="scale">Pixels per inch.</param>
    public static void Furnish(SKCanvas canvas, int width, int height, double scale, int inches, string words)
    {
        var (left, top, unit) = (width * 0.035f, height - 62f, (float)scale);
        using var black = new SKPaint { Color = new(25, 25, 27), IsAntialias = true };
        using var white = new SKPaint { Color = new(244, 244, 242), IsAntialias = true };
        canvas.DrawRect(left - 3, top - 3, inches * unit + 6, 30, white);
        for (var i = 0; i < inches; i += 1) canvas.DrawRect(left + i * unit, top + (i % 2 == 0 ? 0 : 6), unit, 6, black);
        var centimetres = (int)(inches * 2.54);
        for (var i = 0; i <= centimetres; i++)
            canvas.DrawRect(left + (float)(i / 2.54 * scale) - 0.6f, top + 15, 1.2f, i % 5 == 0 ? 9 : 5, black);
        Write(canvas, FormattableString.Invariant($"{inches} in, ticks 1 cm"), left + inches * unit + 14, top + 18, 13);
        Write(canvas, words, width * 0.965 - Lettering.Width(words, 11), height - 22, 11);
    }

    static void Write(SKCanvas canvas, string text, double x, double y, double capHeight) =>
      LabelPng.DrawLine(canvas, new(Lettering.Write(text, x, y, capHeight), capHeight * 0.12), new(40, 40, 43));
}
