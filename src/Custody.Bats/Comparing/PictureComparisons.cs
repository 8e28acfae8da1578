using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>The marks of one picture, locked.</summary>
/// <param name="Entry">Number of the <c>FeaturesLocked</c>.</param>
/// <param name="Points">How many points are marked.</param>
public sealed record LockedFeatures(long Entry, Alias Marker, MarkerSight Sight, int Points)
{
    /// <summary>The points themselves: a fit is computed from them when the pictures are compared.</summary>
    public ImmutableList<MarkedPoint> Marks { get; init; } = [];
}

/// <summary>One comparison of a picture with the bat, by the number of its <c>PictureComparisonOpened</c>.</summary>
/// <param name="Compared">Number of the <c>PicturesCompared</c>.</param>
public sealed record PictureComparison(
    long Source, long Photograph, PictureFrame Frame, LockedFeatures? OnArchive, LockedFeatures? OnBat, ComparisonResult? Result, long? Compared)
{
    /// <summary>What was fixed before anything was marked; null in no comparison that was opened.</summary>
    public ComparisonLimits? Limits { get; init; }
}

/// <summary>What a comparison allows.</summary>
/// <param name="Tolerance">In widths of the frame.</param>
/// <param name="PoseFraction">Of all poses.</param>
/// <param name="Region">The part of the bat that is searched.</param>
public sealed record ComparisonLimits(Quantity Tolerance, Quantity PoseFraction, SurfacePlace Region);

/// <summary>Comparisons of archive pictures with this bat.</summary>
public sealed record PictureComparisons
{
    public ImmutableSortedDictionary<long, PictureComparison> ByEntry { get; init; } =
        ImmutableSortedDictionary<long, PictureComparison>.Empty;

    internal PictureComparisons With(long n, Func<PictureComparison, PictureComparison> change) =>
        this with { ByEntry = ByEntry.SetItem(n, change(ByEntry[n])) };

    internal static Refusal? RefuseOpen(Bat bat, long n) =>
        Grounds.Refuse(bat, bat.PictureComparisons.ByEntry, n, "comparison")
        ?? (bat.Corrections.Stands(bat.PictureComparisons.ByEntry[n].Compared)
            ? new("compared-already", "This comparison has its result.", "Open a new comparison.") : null);

    /// <summary>The refusal when one of these comparisons is not there, is void, or has no result yet.</summary>
    internal static Refusal? RefuseUnfinished(Bat bat, IReadOnlyList<long> comparisons) =>
        Grounds.Refuse(bat, bat.PictureComparisons.ByEntry, comparisons, "comparison")
        ?? (comparisons.Any(n => !bat.Corrections.Stands(bat.PictureComparisons.ByEntry[n].Compared))
            ? new("comparison-not-finished", "One of these comparisons has no result yet.", "Compare the pictures first.") : null);
}
