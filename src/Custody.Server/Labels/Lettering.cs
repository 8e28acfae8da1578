using System.Globalization;
using System.Text;

namespace Custody.Server.Labels;

/// <summary>One step of a drawn line, in millimetres, downwards positive: move, line, or cubic curve (both controls given).</summary>
public readonly record struct PenStep(char Kind, double X1, double Y1, double X2, double Y2, double X, double Y);

/// <summary>Turns text into pen strokes of the project's own lettering.</summary>
public static class Lettering
{
    const double CapHeight = 14;
    const double Gap = 3.5;

    /// <summary>The first character the lettering cannot write, or null if it can write the whole text.</summary>
    public static string? FirstUnknown(string text)
    {
        foreach (var rune in Decomposed(text).EnumerateRunes())
        {
            if (!rune.IsBmp || (!StrokeGlyphs.All.ContainsKey((char)rune.Value) && !StrokeGlyphs.Marks.ContainsKey((char)rune.Value))) return rune.ToString();
        }
        return null;
    }

    /// <summary>Width of the ink, in the unit of <paramref name="capHeight"/> (the height of a capital letter).</summary>
    public static double Width(string text, double capHeight)
    {
        var units = Decomposed(text).Where(c => !StrokeGlyphs.Marks.ContainsKey(c)).Sum(c => Glyph(c).Width + Gap);
        return Math.Max(0, units - Gap) * capHeight / CapHeight;
    }

    /// <summary>Strokes of one line of text that starts at x and stands on the baseline y.</summary>
    /// <exception cref="ArgumentException">A character the lettering does not have; ask <see cref="FirstUnknown"/> first.</exception>
    public static IReadOnlyList<PenStep> Write(string text, double x, double y, double capHeight)
    {
        var scale = capHeight / CapHeight;
        var steps = new List<PenStep>();
        var (pen, glyphStart, glyph) = (x, x, (Character: ' ', Width: 0.0));
        var letters = Decomposed(text);
        for (var i = 0; i < letters.Length; i++)
        {
            if (StrokeGlyphs.Marks.TryGetValue(letters[i], out var mark))
            {
                var down = char.IsLower(glyph.Character) && !"bdfhkltß".Contains(glyph.Character) && letters[i] < '\u0320' ? 4 : 0;
                Trace(mark, glyphStart + glyph.Width / 2 * scale, y + down * scale, scale, steps);
                continue;
            }
            // An accented i gives up its dot.
            var c = letters[i] == 'i' && i + 1 < letters.Length && StrokeGlyphs.Marks.ContainsKey(letters[i + 1]) ? '\u0131' : letters[i];
            (glyphStart, glyph) = (pen, (c, Glyph(c).Width));
            Trace(Glyph(c).Steps, pen, y, scale, steps);
            pen += (glyph.Width + Gap) * scale;
        }
        return steps;
    }

    static string Decomposed(string text) => text.Normalize(NormalizationForm.FormD);

    static (double Width, string Steps) Glyph(char c) => StrokeGlyphs.All.TryGetValue(c, out var glyph)
      ? glyph
      : throw new ArgumentException($"The lettering has no character U+{(int)c:X4}.", nameof(c));

    static void Trace(string steps, double x, double y, double scale, List<PenStep> into)
    {
        var (atX, atY) = (0.0, 0.0);
        var at = 0;
        double X(double units) => x + units * scale;
        double Y(double units) => y - units * scale;
        while (at < steps.Length)
        {
            var kind = steps[at++];
            var n = Numbers(steps, ref at, kind == 'K' ? 4 : 2);
            if (kind == 'K')
            {
                // A quarter ellipse as one cubic: controls 0.5523 of the way to the corner, 4/3 (sqrt 2 - 1), off by 0.03 % of the radius.
                const double k = 0.5523;
                into.Add(new('C', X(atX + k * (n[0] - atX)), Y(atY + k * (n[1] - atY)), X(n[2] + k * (n[0] - n[2])), Y(n[3] + k * (n[1] - n[3])), X(n[2]), Y(n[3])));
                (atX, atY) = (n[2], n[3]);
            }
            else
            {
                into.Add(new(kind, 0, 0, 0, 0, X(n[0]), Y(n[1])));
                (atX, atY) = (n[0], n[1]);
            }
        }
    }

    static double[] Numbers(string steps, ref int at, int count)
    {
        var end = at;
        while (end < steps.Length && steps[end] is not ('M' or 'L' or 'K')) end++;
        var numbers = steps[at..end].Split(' ').Select(n => double.Parse(n, CultureInfo.InvariantCulture)).ToArray();
        at = end;
        return numbers.Length == count ? numbers : throw new FormatException($"A stroke step has {numbers.Length} numbers in place of {count}.");
    }
}
