namespace Custody.Server.Labels;

/// <summary>
/// Lays out one label: the code on the left, as large as the height allows, and to its right what a person reads. Text is set as
/// large as fits; a label too small for readable text or a readable code is refused, never printed unreadable.
/// </summary>
static class LabelLayout
{
    /// <summary>Smallest module, millimetres: what telephone cameras read at arm's length (common practice), 3.9 dots at 300 dpi.</summary>
    public const double SmallestModule = 0.33;
    const double LargestModule = 0.8;

    /// <summary>The sturdy symbol is denser; below this module it would gain against damage and lose against blur and coarse printers.</summary>
    const double SmallestSturdyModule = 0.4;
    const double Edge = 1.2;
    const double TextEdge = 2.6;
    const double LargestScale = 1.6;
    const double SmallestScale = 0.7;

    // Capital heights in millimetres at scale 1. At the smallest scale the caution is 0.95 mm high, about 4 point type.
    const double HouseCap = 2.1, NumberCap = 3.6, SerialCap = 1.7, TypedCap = 1.4, CautionCap = 1.35;

    sealed record Line(string Text, double Cap, bool Bold, double After);

    /// <exception cref="ArgumentException">The label is too small; the sentence says what is needed.</exception>
    public static LabelDrawing Draw(LabelFace face, double width, double height)
    {
        var small = LabelSymbol.Small(face.Url);
        return Draw(face, LabelSymbol.Sturdy(face.Url), SmallestSturdyModule, width, height)
          ?? Draw(face, small, SmallestModule, width, height) ?? throw new ArgumentException(FormattableString.Invariant(
          $"A label of {width:0.0} x {height:0.0} mm is too small: its code needs {Modules(small) * SmallestModule:0.0} mm and the edges {2 * Edge:0.0} mm, with readable text beside it. Use a larger label or a shorter house name."));
    }

    static int Modules(LabelSymbol symbol) => symbol.Size + 2 * LabelSymbol.QuietZone;

    static LabelDrawing? Draw(LabelFace face, LabelSymbol symbol, double least, double width, double height)
    {
        // Half the width at most, so that all labels of a sheet have one size of code; less only for a text that would not fit.
        var largest = Math.Min(LargestModule, Math.Min(height - 2 * Edge, width / 2) / Modules(symbol));
        foreach (var typed in (bool[])[true, false])
        {
            for (var module = largest; module >= least; module -= 0.01)
            {
                var (side, quiet) = (Modules(symbol) * module, LabelSymbol.QuietZone * module);
                var textLeft = Edge + side + 0.6;
                if (SetText(face, textLeft, width - textLeft - TextEdge, height, typed) is { } lines)
                    return new(width, height, symbol, Edge + quiet, (height - side) / 2 + quiet, module, lines);
            }
        }
        return null;
    }

    /// <summary>The largest text that fits, null if none does.</summary>
    static List<InkedLine>? SetText(LabelFace face, double left, double width, double height, bool typed)
    {
        for (var scale = LargestScale; scale >= SmallestScale; scale -= 0.05)
        {
            var lines = Lines(face, width, scale, typed);
            var needed = lines.Sum(l => l.Cap + l.After);
            if (needed <= height - 2 * TextEdge && lines.All(l => Lettering.Width(l.Text, l.Cap) <= width)) return Ink(lines, left, (height - needed) / 2);
        }
        return null;
    }

    static List<Line> Lines(LabelFace face, double width, double scale, bool typed)
    {
        var lines = new List<Line>();
        void Add(string text, double cap, bool bold, double after)
        {
            var wrapped = Balanced(text, cap * scale, width);
            lines.AddRange(wrapped.Select((t, i) => new Line(t, cap * scale, bold, (i == wrapped.Count - 1 ? after : cap * 0.75) * scale)));
        }
        Add(face.House, HouseCap, bold: true, after: 2.0);
        Add(face.ShortNumber, NumberCap, bold: true, after: 1.7);
        Add($"Label {face.Serial}", SerialCap, bold: false, after: 1.9);
        if (typed)
        {
            Add(face.Host, TypedCap, bold: false, after: 1.1);
            Add(face.Token.Replace("-", "- ", StringComparison.Ordinal), TypedCap, bold: false, after: 1.9);
        }
        Add(LabelFace.Caution, CautionCap, bold: false, after: 0);
        return lines;
    }

    /// <summary>As few lines as fit, made as even as they get, so that no word is left alone on the last.</summary>
    static List<string> Balanced(string text, double cap, double width)
    {
        var best = Wrap(text, cap, width);
        for (var narrower = width * 0.95; narrower > width / 3; narrower -= width * 0.05)
        {
            var next = Wrap(text, cap, narrower);
            if (next.Count > best.Count || next.Any(l => Lettering.Width(l, cap) > narrower)) break;
            best = next;
        }
        return best;
    }

    /// <summary>Breaks at spaces; a single word too wide stays whole and makes the caller try a smaller scale.</summary>
    static List<string> Wrap(string text, double cap, double width)
    {
        var lines = new List<string>();
        foreach (var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            // Groups of a token run on without a space.
            var glue = lines.Count > 0 && lines[^1].EndsWith('-') ? "" : " ";
            if (lines.Count > 0 && Lettering.Width(lines[^1] + glue + word, cap) <= width) lines[^1] += glue + word;
            else lines.Add(word);
        }
        return lines;
    }

    static List<InkedLine> Ink(List<Line> lines, double left, double top)
    {
        var inked = new List<InkedLine>();
        foreach (var line in lines)
        {
            inked.Add(new(Lettering.Write(line.Text, left, top + line.Cap, line.Cap), line.Cap * (line.Bold ? 0.15 : 0.105)));
            top += line.Cap + line.After;
        }
        return inked;
    }
}
