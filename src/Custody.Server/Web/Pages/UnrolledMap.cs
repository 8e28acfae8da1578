using System.Globalization;
using Custody.Bats;
using Custody.Evidence;

namespace Custody.Server.Web.Pages;

/// <summary>A mark on the map.</summary>
/// <param name="Label">What stands beside it, such as f3.</param>
/// <param name="Title">What it is, in words.</param>
public sealed record MapMark(string Label, string Title, SurfacePlace Place);

/// <summary>A mark as drawn: points of a polygon, or the centre of a dot.</summary>
public sealed record DrawnMark(string Label, string Title, IReadOnlyList<string> Areas, double? X, double? Y, double LabelX, double LabelY);

/// <summary>The unrolled surface of a bat as a drawing: length from the knob's face left to right, the round from top to bottom with the centre of the brand
/// in the middle. Seen with the knob at the left, clockwise from the knob end runs downwards.</summary>
public sealed class UnrolledMap
{
    /// <summary>Width of the drawing in its own units.</summary>
    public const double Width = 1000;

    // Girth is drawn wider than length, so that a finger can tell angles apart.
    const double Wider = 1.6;
    const double Margin = 24;

    // Where no girths were measured: fractions of the length and girths in inches of an ordinary bat. Common practice.
    static readonly (double At, double Round)[] Usual = [(0, 6), (0.02, 6.2), (0.035, 3.1), (0.35, 3.3), (0.5, 4.7), (0.68, 7.4), (0.85, 7.9), (0.97, 7.5), (1, 6.4)];

    readonly Profile? profile;

    /// <param name="profile">From the bat's baseline; null for an ordinary bat's shape.</param>
    public UnrolledMap(Profile? profile, IEnumerable<MapMark> marks)
    {
        this.profile = profile;
        Length = profile?.LengthInches ?? 34;
        Height = Enumerable.Range(0, 101).Max(i => RoundAt(Length * i / 100)) * Scale * Wider + 2 * Margin + 8;
        Marks = [.. marks.Select(Drawn)];
    }

    public bool IsMeasured => profile is not null;

    /// <summary>In inches.</summary>
    public double Length { get; }

    public double Height { get; }

    public IReadOnlyList<DrawnMark> Marks { get; }

    /// <summary>The outline as points of a polygon.</summary>
    public string Outline => Area(0, Length, -180, 180);

    /// <summary>Girths every hundredth of the length, for the script that reads a touch: inches, a space between them.</summary>
    public string Girths => string.Join(' ', Enumerable.Range(0, 101).Select(i => Text(RoundAt(Length * i / 100))));

    /// <summary>Places of a line every five inches.</summary>
    public IEnumerable<(string Inches, double X)> Ticks => Enumerable.Range(0, (int)(Length / 5) + 1).Select(i => ((i * 5).ToString(CultureInfo.InvariantCulture), X(i * 5)));

    /// <summary>A number as it stands in SVG.</summary>
    public static string Text(double number) => Math.Round(number, 2).ToString(CultureInfo.InvariantCulture);

    static double Inside => Width - 2 * Margin;

    double Scale => Inside / Length;

    double RoundAt(double inches)
    {
        if (profile is not null) return profile.RoundAt(inches);
        var at = Math.Clamp(inches / Length, 0, 1);
        var i = Math.Min(Array.FindLastIndex(Usual, p => p.At <= at), Usual.Length - 2);
        var (a, b) = (Usual[i], Usual[i + 1]);
        return a.Round + (b.Round - a.Round) * (at - a.At) / (b.At - a.At);
    }

    double X(double inches) => Margin + Math.Clamp(inches, 0, Length) * Scale;

    double Y(double inches, double degrees) => Height / 2 + degrees / 360 * RoundAt(inches) * Scale * Wider;

    DrawnMark Drawn(MapMark mark)
    {
        var place = mark.Place;
        var from = Inches(place.From);
        var to = place.To is { } end ? Inches(end) : from;
        if (place.Shape == SurfaceShape.Point)
        {
            var (x, y) = (X(from), Y(from, Signed(place.FromAngle!)));
            return new(mark.Label, mark.Title, [], x, y, x + 10, y + 5);
        }
        if (place.Shape == SurfaceShape.Band) return new(mark.Label, mark.Title, [Area(from, to, -180, 180)], null, null, X((from + to) / 2) - 8, Margin - 8);
        var (a, b) = (Signed(place.FromAngle!), Signed(place.ToAngle!));
        // A patch that goes through the back is drawn at both edges.
        string[] areas = a <= b ? [Area(from, to, a, b)] : [Area(from, to, a, 180), Area(from, to, -180, b)];
        return new(mark.Label, mark.Title, areas, null, null, X(from) + 3, Y((from + to) / 2, a) - 4);
    }

    string Area(double from, double to, double a, double b)
    {
        const int Steps = 40;
        var along = Enumerable.Range(0, Steps + 1).Select(i => from + (to - from) * i / Steps).ToList();
        return string.Join(' ', along.Select(at => (At: at, Angle: a)).Concat(Enumerable.Reverse(along).Select(at => (At: at, Angle: b)))
            .Select(p => $"{Text(X(p.At))},{Text(Y(p.At, p.Angle))}"));
    }

    static double Inches(Quantity length) => length.InBase().ToDouble() / 25.4;

    static double Signed(Quantity angle) => angle.InBase().ToDouble() is var degrees && degrees > 180 ? degrees - 360 : degrees;
}
