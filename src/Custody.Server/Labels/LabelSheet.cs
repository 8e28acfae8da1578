namespace Custody.Server.Labels;

/// <summary>
/// A page of labels, everything in millimetres. Positions count from 1, left to right and then down, as a person holding a part-used
/// sheet counts them.
/// </summary>
/// <param name="MarginTop">From the page's top edge to the first row.</param>
/// <param name="MarginLeft">From the page's left edge to the first column.</param>
/// <param name="GutterX">Between two columns.</param>
/// <param name="GutterY">Between two rows.</param>
public sealed record LabelSheet(string Name, double PageWidth, double PageHeight, int Rows, int Columns,
  double MarginTop, double MarginLeft, double GutterX, double GutterY, double LabelWidth, double LabelHeight)
{
    // ISO 216 A4 and ANSI Letter; the label sizes are common cuts, named by size alone.
    public static LabelSheet A4With8 { get; } = new("a4-8", 210, 297, 4, 2, 13.1, 4.65, 2.5, 0, 99.1, 67.7);
    public static LabelSheet A4With14 { get; } = new("a4-14", 210, 297, 7, 2, 15.15, 4.65, 2.5, 0, 99.1, 38.1);
    public static LabelSheet A4With21 { get; } = new("a4-21", 210, 297, 7, 3, 15.15, 7.25, 2.5, 0, 63.5, 38.1);
    public static LabelSheet A4With24 { get; } = new("a4-24", 210, 297, 8, 3, 0.5, 0, 0, 0, 70, 37);
    public static LabelSheet LetterWith10 { get; } = new("letter-10", 215.9, 279.4, 5, 2, 12.7, 3.97, 4.76, 0, 101.6, 50.8);
    public static LabelSheet LetterWith20 { get; } = new("letter-20", 215.9, 279.4, 10, 2, 12.7, 3.97, 4.76, 0, 101.6, 25.4);
    public static LabelSheet LetterWith30 { get; } = new("letter-30", 215.9, 279.4, 10, 3, 12.7, 4.76, 3.18, 0, 66.67, 25.4);

    /// <summary>The sheets that need no measuring.</summary>
    public static IReadOnlyList<LabelSheet> Common { get; } = [A4With8, A4With14, A4With21, A4With24, LetterWith10, LetterWith20, LetterWith30];

    public int PerPage => Rows * Columns;

    /// <summary>The top left corner of a position on its page, and the page, both counted from the start of the print.</summary>
    /// <param name="index">0 for the first position of the first page.</param>
    public (int Page, double X, double Y) Place(int index)
    {
        var (row, column) = (index % PerPage / Columns, index % Columns);
        return (index / PerPage, MarginLeft + column * (LabelWidth + GutterX), MarginTop + row * (LabelHeight + GutterY));
    }

    /// <summary>Why the measures cannot be a sheet, in a sentence; null if they can. A tenth of a millimetre is allowed for rounding.</summary>
    public string? Fault()
    {
        double[] measures = [PageWidth, PageHeight, MarginTop, MarginLeft, GutterX, GutterY, LabelWidth, LabelHeight];
        if (measures.Any(m => !double.IsFinite(m) || m < 0) || LabelWidth <= 0 || LabelHeight <= 0) return "A measure of the sheet is negative, zero or no number.";
        if (Rows is < 1 or > 100 || Columns is < 1 or > 100) return "A sheet has 1 to 100 rows and 1 to 100 columns.";
        var width = MarginLeft + Columns * LabelWidth + (Columns - 1) * GutterX;
        var height = MarginTop + Rows * LabelHeight + (Rows - 1) * GutterY;
        if (width > PageWidth + 0.1) return FormattableString.Invariant($"The columns need {width:0.0} mm; the page is {PageWidth:0.0} mm wide.");
        return height > PageHeight + 0.1 ? FormattableString.Invariant($"The rows need {height:0.0} mm; the page is {PageHeight:0.0} mm high.") : null;
    }
}
