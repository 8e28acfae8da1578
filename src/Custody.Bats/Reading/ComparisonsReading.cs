using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Points that were marked on one picture, by whom.</summary>
public sealed record MarksRead(long Entry, Who Marker, MarkerSight Sight, IReadOnlyList<MarkedPoint> Points);

/// <summary>The result as it stands recorded.</summary>
/// <param name="Method">Stated by whoever recorded it, or computed by a named method.</param>
public sealed record ComparedRead(
    long Entry, PictureFit Fit, Marking Marking, IReadOnlyList<PointPair> Pairs, ComparisonResult Result, FitMethod Method, Quantity? Sigma,
    Quantity? LeaveOneOut, Quantity? FalseAlarms, int? WorstPair, long Tried, string? Remarks)
{
    internal static ComparedRead Of(long n, PicturesCompared c) => new(
        n, c.Fit, c.Marking, c.Pairs, c.Result, c.Method, c.Sigma, c.LeaveOneOut, c.FalseAlarms, c.WorstPair, c.Tried, c.Remarks?.Value);
}

/// <summary>One comparison: as recorded, and as computed from the locked marks today.</summary>
/// <param name="Entry">The <c>PictureComparisonOpened</c>.</param>
/// <param name="Recorded">The numbers as recorded, and how they were made.</param>
/// <param name="Computed">The result from the marks; null when not yet paired or refused.</param>
/// <param name="Refused">Why nothing can be computed.</param>
/// <param name="AsRecorded">Whether numbers recorded as computed come out the same again; null when they were stated by whoever recorded them.</param>
public sealed record ComparisonRead(
    long Entry, long Source, long Photograph, Edtf? When, PlayShown Play, PictureFrame Frame, Quantity Tolerance, Quantity PoseFraction, SurfacePlace Region,
    MarksRead? OnArchive, MarksRead? OnBat, ComparedRead? Recorded, PictureResult? Computed, Refusal? Refused, bool? AsRecorded);

/// <summary>Every comparison of an archive picture with this bat.</summary>
public sealed record BatComparisons(IReadOnlyList<ComparisonRead> Comparisons, IReadOnlyList<string> Cautions)
{
    internal static BatComparisons Read(Reading reading) => new(
        [.. reading.Standing<PictureComparisonOpened>().Select(c => Of(reading, c.At.N, c.Fact))],
        [
            "The bound counts accidents among independent points spread evenly; it is not the probability that the bat is right. Points along grain lines void it.",
            "A match says that two pictures show the same wood surface. It says nothing about who used the bat.",
            "Inconclusive is not \"a different bat\": old pictures, other light and wear hide what is there.",
        ]);

    static ComparisonRead Of(Reading reading, long n, PictureComparisonOpened opened)
    {
        var state = reading.State.PictureComparisons.ByEntry[n];
        var recorded = reading.State.Corrections.Stands(state.Compared) ? ComparedRead.Of(state.Compared!.Value, (PicturesCompared)reading[state.Compared.Value].Fact) : null;
        var (computed, refused) = recorded is null ? (null, null) : state.Compute(recorded.Fit, recorded.Pairs, recorded.Tried);
        var source = reading.State.Sources.ByEntry[opened.Source];
        return new ComparisonRead(
            n, opened.Source, opened.Photograph, source.When, source.Play, opened.Frame, opened.Tolerance, opened.PoseFraction, opened.Region,
            Marks(reading, state.OnArchive), Marks(reading, state.OnBat), recorded, computed,
            refused is null ? null : new Refusal(refused.Code, refused.Sentence, refused.Remedy),
            recorded is { Method: FitMethod.PictureFit1 } ? IsSame(recorded, computed) : null);
    }

    static MarksRead? Marks(Reading reading, LockedFeatures? locked) =>
        locked is not null && reading.State.Corrections.Stands(locked.Entry)
            ? new MarksRead(locked.Entry, reading.Who(locked.Marker), locked.Sight, [.. locked.Marks]) : null;

    static bool IsSame(ComparedRead recorded, PictureResult? computed) =>
        computed is not null && recorded.Sigma?.Value == computed.Sigma && recorded.LeaveOneOut?.Value == computed.LeaveOneOut
        && recorded.FalseAlarms?.Value == computed.FalseAlarms && recorded.WorstPair == computed.WorstPair;

    /// <summary>What a comparison would give with other pairs or another fit; nothing is recorded. Null when there is no such comparison.</summary>
    internal static (PictureResult? Result, EvidenceRefusal? Refused)? Try(Reading reading, long n, PictureFit fit, IReadOnlyList<PointPair> pairs, long tried) =>
        reading.State.PictureComparisons.ByEntry.TryGetValue(n, out var comparison) && !reading.State.Corrections.IsVoid(n)
            ? comparison.Compute(fit, pairs, tried) : null;
}
