using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>One girth of a bat: how far from the outer face of the knob, and how far round.</summary>
public sealed record Girth(Quantity Position, Quantity Round);

/// <summary>The shape of a bat as girths along its axis, from the knob's face to the barrel's end.</summary>
public sealed class Profile
{
    readonly (double At, double Round)[] points;

    Profile((double At, double Round)[] points) => this.points = points;

    /// <summary>
    /// Checks a profile. Refuses <c>profile-points</c> (fewer than two), <c>profile-unit</c> (not a length), <c>profile-start</c> (not from 0),
    /// <c>profile-order</c> (positions not ascending, or no length at all) and <c>profile-girth</c> (not above zero).
    /// </summary>
    public static bool TryCreate(IReadOnlyList<Girth> girths, [NotNullWhen(true)] out Profile? profile, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = Refusal(girths);
        profile = refusal is null ? new Profile([.. girths.Select(g => (Centimetres(g.Position), Centimetres(g.Round)))]) : null;
        return profile is not null;
    }

    /// <summary>Volume in cubic centimetres, each piece between two girths taken as the frustum of a cone; a cup is not taken off.</summary>
    public double Volume => points.Zip(points.Skip(1), (a, b) =>
        (b.At - a.At) * (a.Round * a.Round + a.Round * b.Round + b.Round * b.Round) / (12 * Math.PI)).Sum();

    /// <summary>Length in centimetres.</summary>
    public double Length => points[^1].At;

    /// <summary>Length in inches.</summary>
    public double LengthInches => Length / Inch;

    /// <summary>Girth in inches at a length in inches, straight between the girths measured.</summary>
    public double RoundAt(double inches)
    {
        var at = Math.Clamp(inches * Inch, 0, Length);
        var i = Math.Min(Array.FindLastIndex(points, p => p.At <= at), points.Length - 2);
        var (a, b) = (points[i], points[i + 1]);
        return (a.Round + (b.Round - a.Round) * (at - a.At) / (b.At - a.At)) / Inch;
    }

    /// <summary>Girth added up over a length, in square inches: the surface all the way round, the taper's slope left out.</summary>
    public double RoundOver(double fromInches, double toInches)
    {
        // Girths are straight between the points, so that the trapezium of each piece is exact.
        var stops = points.Select(p => p.At / Inch).Where(at => at > fromInches && at < toInches).Prepend(fromInches).Append(toInches).ToList();
        return stops.Zip(stops.Skip(1), (a, b) => (b - a) * (RoundAt(a) + RoundAt(b)) / 2).Sum();
    }

    /// <summary>The thickest girth measured, in inches.</summary>
    public double ThickestInches => points.Max(p => p.Round) / Inch;

    const double Inch = 2.54;

    static double Centimetres(Quantity length) => length.InBase().ToDouble() / 10;

    static EvidenceRefusal? Refusal(IReadOnlyList<Girth> girths) =>
        girths.Count < 2 ? new("profile-points", "A profile needs at least two girths.", "Measure at the knob, the barrel end and between.")
        : girths.Any(g => g.Position.Unit.Dimension != Dimension.Length || g.Round.Unit.Dimension != Dimension.Length)
            ? new("profile-unit", "A position or girth is not a length.", "Measure in [in_i], mm or cm.")
        : girths[0].Position.Value.Sign != 0 ? new("profile-start", "The first girth is not at the knob's face.", "Begin at position 0.")
        : girths.Zip(girths.Skip(1)).Any(p => p.First.Position.CompareWith(p.Second.Position) >= 0)
            ? new("profile-order", "Positions do not ascend.", "List girths from knob to barrel end, each place once.")
        : girths.Any(g => g.Round.Value.Sign <= 0) ? new("profile-girth", "A girth is not above zero.", "Measure round the bat.") : null;
}
