namespace Custody.Bats;

/// <summary>Where a bat is whose hand-over was refused or recalled.</summary>
public enum TurnedBackAt
{
    StillWithReleaser,
    OnTheWayBack,
}

/// <summary>Why a recipient did not take the bat.</summary>
public enum HandoverRefusal
{
    NotExpected,
    NotTheBat,
    SealBroken,
    Damaged,
    ConditionDiffers,
    Other,
}

/// <summary>The named recipient does not take the bat; it goes back to the one who released it.</summary>
/// <param name="Handover">Entry of the <c>BatReleased</c>.</param>
public sealed record RefuseHandover(
    long Handover, HandoverRefusal Reason, TurnedBackAt Where, string? Explanation, IReadOnlyList<PictureHash>? Photographs) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new HandoverRefused(Handover, Reason, Where, Photographs ?? [], Explanation)];
}

/// <summary>The recipient did not take the bat.</summary>
public sealed record HandoverRefused(
    long Handover, HandoverRefusal Reason, TurnedBackAt Where, IReadOnlyList<PictureHash> Photographs,
    Withheld<string>? Explanation) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (OpenHandover.Refuse(bat, Handover) is { } refused)
        {
            yield return refused;
            yield break;
        }
        var open = bat.Keeping.Handovers[Handover];
        if (OpenHandover.RefuseReturning(open) is { } returning) yield return returning;
        if (!Mandate.ActsFor(bat, entry, open.To, AuthorisedAct.Receive))
            yield return new("not-recipient", "Only the named recipient, or someone recorded as receiving for them, refuses the bat.",
                "The one who released it may recall it.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Keeping = Where == TurnedBackAt.StillWithReleaser
            ? bat.Keeping.EndingTransit(bat.Keeping.Handovers[Handover].From, HandoverStanding.Refused, entry.N)
            : bat.Keeping.TurnedBack(HandoverStanding.Refused, entry.N),
    };
}
