using Custody.Evidence;

namespace Custody.Bats;

/// <summary>One finding as an examiner states it.</summary>
/// <param name="Measure">A measured value with its unit, when it is a measurement.</param>
/// <param name="Pictures">Released pictures that show it.</param>
public sealed record FindingStated(
    FindingKind Kind, Presence Presence, Confidence Confidence, SeenBy SeenBy, SurfacePlace? Place = null, Quantity? Measure = null,
    IReadOnlyList<PictureHash>? Pictures = null, string? Text = null);

/// <summary>One finding: kind, place, measure and confidence are open, what the examiner wrote is withheld. Keys are f1, f2, ...</summary>
public sealed record Finding(
    FindingKind Kind, Presence Presence, Confidence Confidence, SeenBy SeenBy, SurfacePlace? Place, Quantity? Measure,
    IReadOnlyList<PictureHash> Pictures, Withheld<string>? Text) : IPart
{
    internal static Finding Of(FindingStated stated) => new(
        stated.Kind, stated.Presence, stated.Confidence, stated.SeenBy, stated.Place, stated.Measure, stated.Pictures ?? [], stated.Text);
}

/// <summary>Finding number <paramref name="Over"/> lies over finding number <paramref name="Under"/>: what orders events in time.</summary>
/// <param name="Overlap">The overlap it rests on.</param>
public sealed record LayerSeen(int Over, int Under, SeenBy SeenBy, Confidence Confidence, SurfacePlace? Overlap) : IPart;

/// <summary>What findings must keep to wherever they are recorded.</summary>
static class FindingRules
{
    internal static IEnumerable<Refusal> Refuse(
        IEnumerable<SurfacePlace?> places, IReadOnlyList<LayerSeen> layers, IReadOnlySet<int> numbers)
    {
        if (layers.Any(l => l.Over == l.Under || !numbers.Contains(l.Over) || !numbers.Contains(l.Under)))
            yield return new("layer-of-nothing", "A layer names a finding that is not here, or lies over itself.",
                "Name two findings by number.");
        foreach (var refusal in places.Concat(layers.Select(l => l.Overlap)).SelectMany(SurfacePlace.Refuse).Take(1)) yield return refusal;
    }
}

/// <summary>Whether a view of the fixed list could be had.</summary>
public enum ViewAnswer
{
    Seen,
    CouldNotBeSeen,
}

/// <summary>The answer to one view of the fixed list.</summary>
public sealed record ViewSeen(BatView View, ViewAnswer Answer) : IPart
{
    /// <summary>The fixed list: every bat is gone through in this order before anything else is looked at. Common practice.</summary>
    public static readonly IReadOnlyList<BatView> Fixed =
    [
        BatView.WholeLength, BatView.Knob, BatView.Handle, BatView.Throat, BatView.Barrel, BatView.Brand, BatView.BarrelEnd, BatView.Grain,
    ];
}
