namespace Custody.Evidence;

/// <summary>Whether something was seen, looked for and absent, or could not be judged.</summary>
public enum FindingState
{
    /// <summary>It is there.</summary>
    Seen,

    /// <summary>It was looked for and is not there.</summary>
    Absent,

    /// <summary>It could not be judged.</summary>
    NotAssessable,
}

/// <summary>One finding of an examination as far as condition goes.</summary>
/// <param name="Id">Name by which results refer to it.</param>
/// <param name="Kind">What it is of; only findings of one kind are compared.</param>
/// <param name="State">Seen, absent or not to be judged.</param>
/// <param name="Place">Where; null for the whole bat or when not stated.</param>
/// <param name="Measure">How long or many; null when not measured.</param>
public sealed record PlacedFinding(string Id, string Kind, FindingState State, Spot? Place, Quantity? Measure = null);

/// <summary>How far two examiners may place one thing apart and still mean the same one.</summary>
/// <param name="Inches">Along the axis, either way.</param>
/// <param name="Degrees">Round the bat, either way.</param>
public sealed record SpotTolerance(DecimalText Inches, DecimalText Degrees)
{
    /// <summary>A quarter inch and ten degrees, about a quarter inch round the barrel: what a tape measure and a printed ring give. Common practice.</summary>
    public static SpotTolerance Usual { get; } = new(DecimalText.Parse("0.25"), DecimalText.Parse("10"));
}

/// <summary>What became of a finding between two examinations.</summary>
public enum ChangeKind
{
    /// <summary>Seen later, and not before.</summary>
    New,

    /// <summary>Seen before, and not later.</summary>
    Gone,

    /// <summary>Reaches further than before by more than the tolerance.</summary>
    Grown,

    /// <summary>Reaches less far than before by more than the tolerance.</summary>
    Shrunk,

    /// <summary>There both times, within the tolerance.</summary>
    Same,

    /// <summary>Cannot be compared: not to be judged once, or placed only once.</summary>
    NotComparable,
}

/// <summary>One finding through two examinations.</summary>
/// <param name="Change">What became of it.</param>
/// <param name="Kind">What it is of.</param>
/// <param name="Earlier">Name of the earlier finding; null when new.</param>
/// <param name="Later">Name of the later finding; null when gone.</param>
/// <param name="Certainty">
/// Certain when the other examination looked for it there and found none, or both saw it; possible when the other one merely does not mention it.
/// </param>
/// <param name="GrownInches">How much further it reaches along the axis, to two places; negative when less; null unless both are placed.</param>
/// <param name="GrownDegrees">How much further round, to one place; null unless both are placed on one datum.</param>
/// <param name="AnglesCompared">False when angles were counted from different marks.</param>
public sealed record SurfaceChange(
    ChangeKind Change, string Kind, string? Earlier, string? Later, Certainty Certainty, DecimalText? GrownInches, DecimalText? GrownDegrees, bool AnglesCompared);

/// <summary>The difference of two examinations.</summary>
/// <param name="Method">Name and version of the method.</param>
/// <param name="Tolerance">What counts as one place.</param>
/// <param name="Changes">Every finding of either, changes first.</param>
public sealed record SurfaceDifference(string Method, SpotTolerance Tolerance, IReadOnlyList<SurfaceChange> Changes)
{
    /// <summary>What is new or has grown.</summary>
    public IEnumerable<SurfaceChange> Worse => Changes.Where(c => c.Change is ChangeKind.New or ChangeKind.Grown);
}
