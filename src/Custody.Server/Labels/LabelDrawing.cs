namespace Custody.Server.Labels;

/// <summary>A dark rectangle in millimetres from the label's top left corner.</summary>
public readonly record struct DarkBox(double X, double Y, double Width, double Height);

/// <summary>A line of text as strokes of one pen width, millimetres, round ends.</summary>
public sealed record InkedLine(IReadOnlyList<PenStep> Steps, double PenWidth);

/// <summary>One label as shapes in millimetres: what the PDF, the PNG and the SVG all draw.</summary>
/// <param name="SymbolX">Left edge of the symbol, quiet zone not included.</param>
/// <param name="SymbolY">Top edge of the symbol, quiet zone not included.</param>
/// <param name="Module">Side of one module.</param>
public sealed record LabelDrawing(double Width, double Height, LabelSymbol Symbol, double SymbolX, double SymbolY, double Module, IReadOnlyList<InkedLine> Lines)
{
    /// <summary>Dark modules joined along each row, so that few shapes and no seams between neighbours are printed.</summary>
    public IEnumerable<DarkBox> Boxes()
    {
        for (var row = 0; row < Symbol.Size; row++)
        {
            for (var column = 0; column < Symbol.Size; column++)
            {
                if (!Symbol.Dark(row, column)) continue;
                var first = column;
                while (column + 1 < Symbol.Size && Symbol.Dark(row, column + 1)) column++;
                yield return new(SymbolX + first * Module, SymbolY + row * Module, (column + 1 - first) * Module, Module);
            }
        }
    }
}
