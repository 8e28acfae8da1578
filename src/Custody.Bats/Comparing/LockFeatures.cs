namespace Custody.Bats;

/// <summary>Which of the two pictures.</summary>
public enum ComparedPicture
{
    Archive,
    Bat,
}

/// <summary>Whether whoever marked had seen the other picture.</summary>
public enum MarkerSight
{
    OtherNotSeen,
    OtherSeen,
}

/// <summary>A feature that is a point. Never a point along a line: those are not uniform and void the bound on chance.</summary>
public enum PointFeature
{
    RingEnd,
    Knot,
    Fleck,
    Pore,
    Dent,
    Chip,
}

/// <summary>A marked point, in whole pixels of the released picture.</summary>
public sealed record MarkedPoint(PointFeature Kind, int X, int Y) : IPart;

/// <summary>Lock the marks made on one picture, the archive picture first.</summary>
/// <param name="Comparison">Number of the <c>PictureComparisonOpened</c>.</param>
/// <param name="Marker">Who marked it.</param>
public sealed record LockFeatures(
    long Comparison, ComparedPicture Picture, PartyId Marker, MarkerSight Sight, IReadOnlyList<MarkedPoint> Points) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new FeaturesLocked(Comparison, Picture, people.Of(Marker, Role.Marker), Sight, Points)];
}

/// <summary>The marks on one picture, locked before the other's are shown beside them.</summary>
public sealed record FeaturesLocked(
    long Comparison, ComparedPicture Picture, Alias Marker, MarkerSight Sight, IReadOnlyList<MarkedPoint> Points) : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    /// <summary>Keeps an entry well under its greatest length.</summary>
    public const int MostPoints = 500;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (PictureComparisons.RefuseOpen(bat, Comparison) is { } refused) return [refused];
        var (archive, ofBat) = (bat.PictureComparisons.ByEntry[Comparison].OnArchive, bat.PictureComparisons.ByEntry[Comparison].OnBat);
        if (bat.Corrections.Stands((Picture == ComparedPicture.Archive ? archive : ofBat)?.Entry))
            return [new("features-locked-already", "The marks on this picture are locked.", "Open a new comparison to mark it again.")];
        if (Picture == ComparedPicture.Bat && !bat.Corrections.Stands(archive?.Entry))
            return [new("archive-first", "The archive picture is marked and locked first.", "Lock its marks before the bat's.")];
        if (Points.Count is 0 or > MostPoints)
            return [new("points-out-of-range", $"There are no points, or more than {MostPoints}.", "Mark the clearest point features.")];
        var frame = Picture == ComparedPicture.Archive ? bat.PictureComparisons.ByEntry[Comparison].Frame : null;
        return Points.All(p => p is { X: >= 0, Y: >= 0 } && (frame?.Holds(p) ?? true)) && Points.DistinctBy(p => (p.X, p.Y)).Count() == Points.Count
            ? []
            : [new("point-misplaced", "A point lies outside the picture or its frame, or two lie on one pixel.",
                "Mark each feature once, inside the frame.")];
    }

    protected override Bat ApplyTo(Bat bat, Entry entry)
    {
        var locked = new LockedFeatures(entry.N, Marker, Sight, Points.Count) { Marks = [.. Points] };
        return bat with
        {
            PictureComparisons = bat.PictureComparisons.With(
                Comparison, c => Picture == ComparedPicture.Archive ? c with { OnArchive = locked } : c with { OnBat = locked }),
            // The comparison stands on its marks: correcting them reaches whatever rests on the comparison.
            Corrections = bat.Corrections.After(Comparison, [entry.N], [], []),
        };
    }
}
