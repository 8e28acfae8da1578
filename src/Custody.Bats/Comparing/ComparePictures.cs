using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How one picture was fitted to the other, by least squares.</summary>
public enum PictureFit
{
    Similarity,
    Affine,
    Homography,
}

/// <summary>Who marked the bat's picture, as against the archive picture. Anything but the first weakens the result and is said.</summary>
public enum Marking
{
    AnotherPersonWithoutSight,
    AnotherPersonWithSight,
    SamePerson,
}

/// <summary>What a comparison can say. Never "a different bat".</summary>
public enum ComparisonResult
{
    SameWoodSurface,
    Inconclusive,
}

/// <summary>Where a number in an opinion comes from.</summary>
public enum NumberMethod
{
    /// <summary>By whoever recorded it.</summary>
    Stated,

    /// <summary>Log10 of a likelihood ratio and its interval, computed from a habit file and a comparison file, version 1.</summary>
    Weight1,
}

/// <summary>Where the numbers of a comparison come from: from whoever recorded it, or computed from the locked marks by
/// <see cref="PictureComparing"/>, version 1. A later version gets a word of its own.</summary>
public enum FitMethod
{
    Stated,
    PictureFit1,
}

/// <summary>A pair of points, by their places in the two locked lists, from 1.</summary>
public sealed record PointPair(int Archive, int Bat) : IPart;

/// <summary>Pair the locked points. Without numbers of one's own they are computed from the marks, and so is the result unless it is said.</summary>
/// <param name="Result">What is concluded; null for what the computed bound allows.</param>
/// <param name="Sigma">Square root of SSE / (2n - p), as a fraction of the frame's width, unit 1.</param>
/// <param name="LeaveOneOut">Median leave-one-out error, likewise.</param>
/// <param name="FalseAlarms">Bound on accidental configurations, before <paramref name="Tried"/> is multiplied in, unit 1.</param>
/// <param name="WorstPair">Place of the worst pair in the list, from 1.</param>
/// <param name="Tried">Every picture, region and tolerance tried, multiplied; 1 when there was one of each.</param>
public sealed record ComparePictures(
    long Comparison, PictureFit Fit, Marking Marking, IReadOnlyList<PointPair> Pairs, ComparisonResult? Result, Quantity? Sigma,
    Quantity? LeaveOneOut, Quantity? FalseAlarms, int? WorstPair, long Tried, string? Remarks) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people)
    {
        if (Sigma is not null || LeaveOneOut is not null || FalseAlarms is not null || WorstPair is not null)
            return [new PicturesCompared(Comparison, Fit, Marking, Pairs, Result ?? ComparisonResult.Inconclusive, FitMethod.Stated, Sigma, LeaveOneOut, FalseAlarms, WorstPair, Tried, Remarks)];
        var computed = bat.PictureComparisons.ByEntry.GetValueOrDefault(Comparison)?.Compute(Fit, Pairs, Tried).Result;
        return
        [
            new PicturesCompared(
                Comparison, Fit, Marking, Pairs, Result ?? (computed is { SameSurface: true } ? ComparisonResult.SameWoodSurface : ComparisonResult.Inconclusive),
                FitMethod.PictureFit1, One(computed?.Sigma), One(computed?.LeaveOneOut), One(computed?.FalseAlarms), computed?.WorstPair, Tried, Remarks),
        ];
    }

    static Quantity? One(DecimalText? number) => number is null ? null : Quantity.Of(number, Unit.Find("1")!);
}

/// <summary>Two pictures were compared: the same wood surface, or inconclusive. Says nothing about who used the bat.</summary>
public sealed record PicturesCompared(
    long Comparison, PictureFit Fit, Marking Marking, IReadOnlyList<PointPair> Pairs, ComparisonResult Result, FitMethod Method,
    Quantity? Sigma, Quantity? LeaveOneOut, Quantity? FalseAlarms, int? WorstPair, long Tried, Withheld<string>? Remarks) : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (PictureComparisons.RefuseOpen(bat, Comparison) is { } refused) return [refused];
        var comparison = bat.PictureComparisons.ByEntry[Comparison];
        if (!bat.Corrections.Stands(comparison.OnArchive?.Entry) || !bat.Corrections.Stands(comparison.OnBat?.Entry))
            return [new("features-not-locked", "The marks on both pictures are not locked yet.", "Lock the archive picture's, then the bat's.")];
        return RefusePairs(comparison.OnArchive!.Points, comparison.OnBat!.Points).Concat(RefuseMarking(comparison.OnArchive, comparison.OnBat))
            .Concat(Method == FitMethod.PictureFit1 ? RefuseComputed(comparison) : []);
    }

    IEnumerable<Refusal> RefusePairs(int onArchive, int onBat)
    {
        if (Pairs.Any(p => p.Archive < 1 || p.Archive > onArchive || p.Bat < 1 || p.Bat > onBat))
            yield return new("pair-of-nothing", "A pair names a point that was not marked.", "Name points by their place in the locked lists.");
        if (Pairs.DistinctBy(p => p.Archive).Count() != Pairs.Count || Pairs.DistinctBy(p => p.Bat).Count() != Pairs.Count)
            yield return new("point-paired-twice", "A point stands in two pairs.", "Pair each point at most once.");
        // A fit of p parameters leaves 2n - p degrees of freedom: without one there is no residual to show.
        if (Result == ComparisonResult.SameWoodSurface && Pairs.Count < Fewest)
            yield return new("too-few-pairs", $"This fit needs at least {Fewest} pairs.", "Find more pairs, take a simpler fit, or say inconclusive.");
        if (WorstPair is { } worst && (worst < 1 || worst > Pairs.Count))
            yield return new("worst-pair-unknown", "The worst pair is none of the pairs.", "Name it by its place in the list.");
        if (Tried < 1 || new[] { Sigma, LeaveOneOut, FalseAlarms }.Any(q => q is not null && !IsCount(q)))
            yield return new("comparison-numbers", "A stated number is negative or has a unit, or nothing was tried.",
                "Give numbers of 0 or more with unit 1, and count at least one try.");
    }

    // Whoever says more than the numbers do says so as a statement of their own, without the method's name on it.
    IEnumerable<Refusal> RefuseComputed(PictureComparison comparison)
    {
        if (comparison.Compute(Fit, Pairs, Tried).Refused is { } unfit)
            yield return new(unfit.Code, unfit.Sentence, unfit.Remedy);
        else if (Sigma is null || LeaveOneOut is null || FalseAlarms is null || WorstPair is null)
            yield return new("comparison-numbers", "A computed comparison lacks one of its numbers.", "Let all of them be computed.");
        else if (Result == ComparisonResult.SameWoodSurface && FalseAlarms.InBase() * DecimalText.Of(Tried, 0) >= PictureComparing.Enough)
            yield return new("bound-too-weak", "Accident is not ruled out far enough to say that these show the same wood surface.",
                $"Find more pairs (the bound times everything tried lies below {PictureComparing.Enough}), or say inconclusive.");
    }

    int Fewest => Fit switch
    {
        PictureFit.Similarity => 3,
        PictureFit.Affine => 4,
        _ => 8,
    };

    static bool IsCount(Quantity number) => number.Unit.Code == "1" && number.Value.Sign >= 0;

    // Sight is a statement and cannot be computed; what is recorded of the markers must not contradict it.
    IEnumerable<Refusal> RefuseMarking(LockedFeatures archive, LockedFeatures ofBat)
    {
        if ((archive.Marker == ofBat.Marker) != (Marking == Marking.SamePerson)
            || (Marking == Marking.AnotherPersonWithoutSight && ofBat.Sight == MarkerSight.OtherSeen))
            yield return new("marking-not-said", "Who marked the two pictures is not what the locked marks say.",
                "Say 'same person' when it was, and that the other picture was seen when it was.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        PictureComparisons = bat.PictureComparisons.With(Comparison, c => c with { Result = Result, Compared = entry.N }),
        Corrections = bat.Corrections.After(Comparison, [entry.N], [], []),
    };
}
