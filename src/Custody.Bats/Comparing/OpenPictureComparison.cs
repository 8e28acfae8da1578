using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What justifies allowing only part of all poses.</summary>
public enum PoseGround
{
    AllPosesAllowed,
    CameraAngleKnown,
}

/// <summary>The part of the archive picture that is searched, in whole pixels of its released copy.</summary>
public sealed record PictureFrame(int X, int Y, int Width, int Height) : IPart
{
    internal bool Holds(MarkedPoint point) => point.X >= X && point.Y >= Y && point.X - X < Width && point.Y - Y < Height;
}

/// <summary>Fix what a comparison allows, before anything is marked.</summary>
/// <param name="Source">Number of the <c>SourceCited</c> that is the archive picture.</param>
/// <param name="Photograph">Number of the <c>BatPhotographed</c> it is compared with.</param>
/// <param name="OfBat">Which of its pictures.</param>
/// <param name="Tolerance">How far two marks may lie apart and still agree: a fraction of the frame's width, unit 1.</param>
/// <param name="PoseFraction">Fraction of all poses allowed, unit 1; 1 unless the camera's angle is justified.</param>
/// <param name="Region">The part of the bat that is searched: a patch no wider than 25 degrees of the round.</param>
public sealed record OpenPictureComparison(
    long Source, PictureHash Archive, long Photograph, PictureHash OfBat, Quantity Tolerance, Quantity PoseFraction, PoseGround PoseGround,
    SurfacePlace Region, PictureFrame Frame, string? Justification) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new PictureComparisonOpened(Source, Archive, Photograph, OfBat, Tolerance, PoseFraction, PoseGround, Region, Frame, Justification),
    ];
}

/// <summary>A comparison was opened: tolerance, pose fraction and region stand before any mark.</summary>
public sealed record PictureComparisonOpened(
    long Source, PictureHash Archive, long Photograph, PictureHash OfBat, Quantity Tolerance, Quantity PoseFraction, PoseGround PoseGround,
    SurfacePlace Region, PictureFrame Frame, Withheld<string>? Justification) : BatFact
{
    // A wider piece of a round bat is seen too obliquely for a plane fit.
    static readonly DecimalText WidestRegion = DecimalText.Parse("25");
    static readonly DecimalText One = DecimalText.Parse("1");

    public override IEnumerable<long> RestsOn => [Source, Photograph];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Sources.Refuse(bat, [Source]) is { } source) yield return source;
        if (Grounds.Refuse(bat, bat.Photographs.ByEntry, Photograph, "photograph") is { } photograph) yield return photograph;
        else if (!bat.Photographs.ByEntry[Photograph].Pictures.Any(p => p.Released == OfBat))
            yield return new("no-such-picture", "The photograph's entry holds no such picture.", "Name a picture of that entry.");
        if (!IsFraction(Tolerance) || !IsFraction(PoseFraction))
            yield return new("fraction-out-of-range", "Tolerance and pose fraction are above 0 and at most 1.", "Give both as decimals with unit 1.");
        else if ((PoseFraction.InBase().CompareTo(One) < 0) != (PoseGround == PoseGround.CameraAngleKnown))
            yield return new("pose-not-justified", "Fewer than all poses are allowed without a ground, or the other way round.",
                "Allow all poses (1), or say that the camera's angle is known.");
        if (Frame is not { X: >= 0, Y: >= 0, Width: > 0, Height: > 0 })
            yield return new("frame-empty", "The frame in the archive picture is empty.", "Give its corner, width and height in pixels.");
        foreach (var refusal in RefuseRegion().Take(1)) yield return refusal;
    }

    IEnumerable<Refusal> RefuseRegion()
    {
        foreach (var refusal in SurfacePlace.Refuse(Region)) yield return refusal;
        if (Region.Shape != SurfaceShape.Patch) yield return new("region-no-patch", "The region is not a patch.", "Bound it in length and in angle.");
        else if (Region.Span().CompareTo(WidestRegion) > 0)
            yield return new("region-too-wide", "The region is wider than 25 degrees of the round.", "Choose a narrower one, or compare several.");
    }

    static bool IsFraction(Quantity fraction) =>
        fraction.Unit.Dimension == Dimension.Number && fraction.Value.Sign > 0 && fraction.InBase().CompareTo(One) <= 0;

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        PictureComparisons = bat.PictureComparisons with
        {
            ByEntry = bat.PictureComparisons.ByEntry.Add(entry.N, new PictureComparison(Source, Photograph, Frame, null, null, null, null)
            {
                Limits = new ComparisonLimits(Tolerance, PoseFraction, Region),
            }),
        },
    };
}
