namespace Custody.Server.Sheets;

/// <summary>How a stretch of a lane is meant.</summary>
public enum Stretch
{
    /// <summary>On every reading of the dates.</summary>
    Certain,

    /// <summary>On some reading of the dates only.</summary>
    Perhaps,

    /// <summary>It began somewhere in here.</summary>
    Beginning,

    /// <summary>It ended somewhere in here.</summary>
    Ending,

    /// <summary>Nobody is said to hold.</summary>
    Gap,

    /// <summary>Somebody else is said to hold as well.</summary>
    Overlap,
}

/// <summary>One stretch, in units of the drawing.</summary>
/// <param name="Sure">False for a gap or an overlap that some readings of the dates leave out.</param>
public sealed record Bar(Stretch Kind, double X, double Width, bool Sure = true);

/// <summary>One row of a drawing.</summary>
/// <param name="Label">What stands beside it.</param>
/// <param name="Said">The same in full, for whoever points at it.</param>
/// <param name="Look">Class by which the style tells rows apart: act, report, transit.</param>
/// <param name="Y">Its upper edge.</param>
public sealed record Lane(string Label, string Said, string Look, double Y, IReadOnlyList<Bar> Bars);

/// <summary>Bars over time, ready to be written as SVG. A table beside it says the same.</summary>
/// <param name="Left">Where the line of time begins; what is left of it is for labels.</param>
public sealed record Lanes(double Width, double Height, double Left, IReadOnlyList<Lane> Rows, IReadOnlyList<Tick> Ticks)
{
    internal const double Labels = 200, Whole = 760, Row = 26, Foot = 26, Thick = 16, Slight = 3, Apart = 52;

    /// <summary>A stretch between two places, never too thin to be seen.</summary>
    internal static Bar Between(Stretch kind, double from, double to) => new(kind, Math.Min(from, Labels + Line - Slight), Math.Max(Slight, to - from));

    /// <summary>Length of the line of time.</summary>
    internal const double Line = Whole - Labels - 12;

    internal static Lanes Of(IReadOnlyList<Lane> rows, TimeLine line) =>
        new(Whole, (rows.Count * Row) + Foot, Labels, rows, [.. line.Years(Apart)]);

    /// <summary>A label that fits beside its row; the whole of it is said elsewhere.</summary>
    internal static string Short(string text) => text.Length <= 26 ? text : text[..25] + "\u2026";
}
