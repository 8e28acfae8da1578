using Custody.Evidence;

namespace Custody.Bats;

/// <summary>The form of a place on the unrolled surface.</summary>
public enum SurfaceShape
{
    Point,
    Band,
    Patch,
}

/// <summary>What angles are counted from: the centre of the brand, or a photographed mark where no brand can be seen.</summary>
public enum SurfaceDatum
{
    Brand,
    PhotographedMark,
}

/// <summary>A place on the bat's surface: lengths along the axis from the outer face of the knob, angles clockwise seen from the knob
/// end.</summary>
/// <param name="From">Length to where it begins (a point: where it is).</param>
/// <param name="To">Length to where it ends; a band or patch has one.</param>
/// <param name="FromAngle">Degrees from the datum, from 0 up to but not 360; a point or patch has one.</param>
/// <param name="ToAngle">Where a patch ends going clockwise, so it may pass through 0.</param>
/// <param name="Mark">The picture that shows the mark used as datum.</param>
public sealed record SurfacePlace(
    SurfaceShape Shape, SurfaceDatum Datum, Quantity From, Quantity? To, Quantity? FromAngle, Quantity? ToAngle, PictureHash? Mark = null) : IPart
{
    // The rules' 42 in and room for a bat that keeps none of them.
    static readonly Quantity Longest = Quantity.Parse("60", "[in_i]");
    static readonly Quantity Round = Quantity.Parse("360", "deg");

    /// <summary>What is wrong with a place, if one is given.</summary>
    public static IEnumerable<Refusal> Refuse(SurfacePlace? place) => place is null ? [] : place.Refuse();

    IEnumerable<Refusal> Refuse()
    {
        if ((To is null) != (Shape == SurfaceShape.Point) || (FromAngle is null) != (Shape == SurfaceShape.Band)
            || (ToAngle is null) != (Shape != SurfaceShape.Patch) || (Mark is null) != (Datum == SurfaceDatum.Brand))
            yield return new("place-incomplete", "The place on the bat lacks a bound or a datum mark, or has one too many.",
                "A point has a length and an angle, a band two lengths, a patch two of each; a datum mark has its picture.");
        else if (!IsLength(From) || (To is not null && !(IsLength(To) && From.CompareWith(To) <= 0)) || !IsAngle(FromAngle) || !IsAngle(ToAngle))
            yield return new("place-off-the-bat", "The place does not lie on a bat.",
                "Give lengths of 0 to 60 inches in order, angles from 0 up to 360 degrees.");
    }

    /// <summary>How far round a patch goes, in degrees; 0 for other shapes. Only of a place that is not refused.</summary>
    internal DecimalText Span()
    {
        if (Shape != SurfaceShape.Patch) return DecimalText.Zero;
        var span = ToAngle!.InBase() - FromAngle!.InBase();
        return span.Sign < 0 ? span + Round.InBase() : span;
    }

    /// <summary>The place as it is measured and compared; only of a place that is not refused.</summary>
    internal Spot Spot() =>
        Evidence.Spot.TryCreate(
            Shape switch { SurfaceShape.Point => SpotForm.Point, SurfaceShape.Band => SpotForm.Band, _ => SpotForm.Patch },
            Datum == SurfaceDatum.Brand ? "brand" : Mark!.Value.Text, From, To, FromAngle, ToAngle, out var spot, out var refusal)
            ? spot : throw new InvalidOperationException(refusal.Code);

    static bool IsLength(Quantity length) =>
        length.Unit.Dimension == Dimension.Length && length.Value.Sign >= 0 && length.CompareWith(Longest) <= 0;

    static bool IsAngle(Quantity? angle) =>
        angle is null || (angle.Unit.Dimension == Dimension.Angle && angle.Value.Sign >= 0 && angle.CompareWith(Round) < 0);
}
