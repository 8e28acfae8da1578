using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>How much two places share.</summary>
/// <param name="Touch">They share at least a point.</param>
/// <param name="AnglesCompared">False when their angles are counted from different marks: then only lengths were compared.</param>
/// <param name="Inches">Shared length along the axis, to two places.</param>
/// <param name="Degrees">Shared part of the round, to one place; null when angles were not compared.</param>
/// <param name="SquareInches">Shared surface, to two places; null when angles were not compared.</param>
/// <param name="PercentOfFirst">
/// Shared part of the first place, percent to one place: of its surface, or of its length when it has no surface or angles were not compared;
/// 100 or 0 for a point.
/// </param>
public sealed record SpotOverlap(bool Touch, bool AnglesCompared, DecimalText Inches, DecimalText? Degrees, DecimalText? SquareInches, DecimalText PercentOfFirst);

/// <summary>
/// The unrolled surface of one bat: what is as long along it as along the axis, and as wide as its girth there. The slope of the taper is left out, which
/// shortens lengths by less than one percent on a bat (common practice; elementary geometry of a surface of revolution).
/// </summary>
public sealed class SurfaceMap(Profile profile)
{
    /// <summary>Name and version of the method, to stand beside each result.</summary>
    public const string Method = "surface/1";

    // Inches and degrees that are less than any measuring tells apart.
    internal const double Coarse = 1e-6;

    /// <summary>Whether the whole place lies on this bat; refuses <c>place-off-the-bat</c>.</summary>
    public bool Holds(Spot spot, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = spot.To <= profile.LengthInches + Coarse ? null
            : new("place-off-the-bat", "A place lies beyond the barrel's end.", "Measure it again from the outer face of the knob.");
        return refusal is null;
    }

    /// <summary>Surface of a place in square inches, to two places: girth along its length, times its part of the round.</summary>
    public DecimalText SquareInches(Spot spot) => DecimalText.Computed(Area(spot), 2);

    /// <summary>How far a number of degrees reaches round the bat at a length, in inches to two places.</summary>
    public DecimalText InchesRound(double atInches, double degrees) => DecimalText.Computed(profile.RoundAt(atInches) * degrees / Spot.Full, 2);

    /// <summary>What two places share; also of a finding with the usual zone of a habit.</summary>
    public SpotOverlap Overlap(Spot first, Spot second)
    {
        var (from, to) = (Math.Max(first.From, second.From), Math.Min(first.To, second.To));
        var long_ = Math.Max(0, to - from);
        var round = Round.Shared(first, second);
        var touch = to >= from - Coarse && round is not < 0;
        var surface = touch && round is { } degrees ? profile.RoundOver(from, Math.Max(from, to)) * degrees / Spot.Full : 0;
        return new SpotOverlap(touch, round is not null, DecimalText.Computed(touch ? long_ : 0, 2),
            round is null ? null : DecimalText.Computed(touch ? round.Value : 0, 1), round is null ? null : DecimalText.Computed(surface, 2),
            DecimalText.Computed(100 * Part(first, touch, long_, round is null ? null : surface), 1));
    }

    double Part(Spot spot, bool touch, double shared, double? surface) =>
        !touch ? 0
        : surface is { } area && Area(spot) > Coarse ? Math.Min(1, area / Area(spot))
        : spot.To - spot.From > Coarse ? shared / (spot.To - spot.From)
        : 1;

    double Area(Spot spot) => profile.RoundOver(spot.From, spot.To) * spot.Span / Spot.Full;
}

/// <summary>Angles round the bat, 360 being 0 again.</summary>
static class Round
{
    /// <summary>Degrees two places share; negative when they share none, null when their angles cannot be compared.</summary>
    public static double? Shared(Spot a, Spot b)
    {
        if (a.Form == SpotForm.Band || b.Form == SpotForm.Band)
            return Math.Min(a.Span, b.Span);
        if (!string.Equals(a.Datum, b.Datum, StringComparison.Ordinal))
            return null;
        // The other begins this far clockwise of the first; seen the other way round it begins that far before it.
        var ahead = Spot.Turned(b.Start - a.Start);
        var first = Math.Min(a.Span, ahead + b.Span) - ahead;
        var second = Math.Min(a.Span, ahead - Spot.Full + b.Span);
        return first < -SurfaceMap.Coarse && second < -SurfaceMap.Coarse ? -1 : Math.Max(0, first) + Math.Max(0, second);
    }

    /// <summary>Degrees between two places the shorter way round; 0 when they meet, null when their angles cannot be compared.</summary>
    public static double? Apart(Spot a, Spot b)
    {
        if (Shared(a, b) is not { } shared)
            return null;
        return shared >= 0 ? 0 : Math.Min(Spot.Turned(b.Start - a.Start - a.Span), Spot.Turned(a.Start - b.Start - b.Span));
    }
}
