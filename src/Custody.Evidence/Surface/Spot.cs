using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>The form of a place on the unrolled surface of a bat.</summary>
public enum SpotForm
{
    /// <summary>A length and an angle.</summary>
    Point,

    /// <summary>All the way round, between two lengths.</summary>
    Band,

    /// <summary>Between two lengths and two angles.</summary>
    Patch,
}

/// <summary>
/// A place on the bat's surface. Lengths run along the axis from the outer face of the knob; angles run clockwise seen from the knob end, 0 at
/// the datum (the centre of the brand, or a photographed mark). A patch may pass through 0: from 350 to 15 is 25 degrees wide. Common practice.
/// </summary>
public sealed class Spot
{
    internal const double Full = 360;

    Spot(SpotForm form, string datum, double from, double to, double start, double span) =>
        (Form, Datum, From, To, Start, Span) = (form, datum, from, to, start, span);

    /// <summary>Its form.</summary>
    public SpotForm Form { get; }

    /// <summary>What angles are counted from; two places with different data cannot be compared in angle.</summary>
    public string Datum { get; }

    /// <summary>Inches from the knob's face to where it begins.</summary>
    public double From { get; }

    /// <summary>Inches to where it ends; the same for a point.</summary>
    public double To { get; }

    /// <summary>Degrees at which it begins, going clockwise; 0 for a band.</summary>
    public double Start { get; }

    /// <summary>Degrees it goes round: 0 for a point, 360 for a band.</summary>
    public double Span { get; }

    /// <summary>
    /// Reads a place. Refuses <c>place-form</c> (a bound missing or one too many), <c>place-length</c> (not lengths of 0 or more in order) and
    /// <c>place-angle</c> (not angles from 0 up to, and not, 360 degrees).
    /// </summary>
    /// <param name="form">Point, band or patch.</param>
    /// <param name="datum">Name of what angles are counted from.</param>
    /// <param name="from">Length to where it begins.</param>
    /// <param name="to">Length to where it ends; null for a point.</param>
    /// <param name="fromAngle">Angle at which it begins; null for a band.</param>
    /// <param name="toAngle">Angle at which it ends, going clockwise; for a patch only.</param>
    /// <param name="spot">The place.</param>
    /// <param name="refusal">Why there is none.</param>
    public static bool TryCreate(SpotForm form, string datum, Quantity from, Quantity? to, Quantity? fromAngle, Quantity? toAngle,
        [NotNullWhen(true)] out Spot? spot, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = (to is null) != (form == SpotForm.Point) || (fromAngle is null) != (form == SpotForm.Band) || (toAngle is null) != (form != SpotForm.Patch)
            ? new("place-form", "The place lacks a bound or has one too many.", "A point has a length and an angle, a band two lengths, a patch two of each.")
            : !IsLength(from) || (to is not null && (!IsLength(to) || from.CompareWith(to) > 0))
                ? new("place-length", "The lengths of a place are not lengths of 0 or more in order.", "Measure from the outer face of the knob.")
                : !IsAngle(fromAngle) || !IsAngle(toAngle)
                    ? new("place-angle", "An angle is not from 0 up to 360 degrees.", "Count clockwise from the datum, seen from the knob end.") : null;
        spot = refusal is null ? Of(form, datum, InchesOf(from), InchesOf(to ?? from), Degrees(fromAngle), Degrees(toAngle)) : null;
        return spot is not null;
    }

    static Spot Of(SpotForm form, string datum, double from, double to, double start, double end) =>
        new(form, datum, from, to, start, form switch { SpotForm.Band => Full, SpotForm.Point => 0, _ => Turned(end - start) });

    /// <summary>An angle brought to 0 up to 360.</summary>
    internal static double Turned(double degrees) => degrees - Full * Math.Floor(degrees / Full);

    /// <summary>A length in inches, to a millionth.</summary>
    public static double InchesOf(Quantity length) => length.To(Unit.Inch, 6, Rounding.HalfAwayFromZero).Value.ToDouble();

    static double Degrees(Quantity? angle) => angle?.InBase().ToDouble() ?? 0;

    static bool IsLength(Quantity length) => length.Unit.Dimension == Dimension.Length && length.Value.Sign >= 0;

    static bool IsAngle(Quantity? angle) =>
        angle is null || (angle.Unit.Dimension == Dimension.Angle && angle.Value.Sign >= 0 && angle.InBase().ToDouble() < Full);
}
