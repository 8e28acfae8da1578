namespace Custody.Bats;

/// <summary>Why a hold ended.</summary>
public enum HoldEnd
{
    MatterSettled,
    GroundFellAway,
    OrderedByCourt,
    ReviewPassed,
    PlacedInError,
    PlacedElsewhere,
}

/// <summary>Lift a hold, with a reason.</summary>
/// <param name="Hold">Entry of the <c>HoldPlaced</c>.</param>
public sealed record LiftHold(long Hold, HoldEnd Reason, AssertionBasis Basis, string? Explanation, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new HoldLifted(Hold, Reason, Basis, Explanation, DocumentHash)];
}

/// <summary>The hold stops nothing any more.</summary>
public sealed record HoldLifted(
    long Hold, HoldEnd Reason, AssertionBasis Basis, Withheld<string>? Explanation, Withheld<string>? DocumentHash) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Grounds.Refuse(bat, bat.Holds.ByEntry, Hold, "hold") is { } refused)
        {
            yield return refused;
            yield break;
        }
        var hold = bat.Holds.ByEntry[Hold];
        if (hold.Lifted) yield return new("hold-lifted", "That hold was lifted already.", "Nothing more is needed.");
        if (entry.Envelope.By != hold.By && Basis != AssertionBasis.CourtOrder)
            yield return new("not-yours-to-lift", "A hold is lifted by who placed it, or on a court's order.", "Ask who placed it.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Holds = bat.Holds with { ByEntry = bat.Holds.ByEntry.SetItem(Hold, bat.Holds.ByEntry[Hold] with { Lifted = true }) },
    };
}
