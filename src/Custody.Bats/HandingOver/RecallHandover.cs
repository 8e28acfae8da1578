namespace Custody.Bats;

/// <summary>Why a release was called back.</summary>
public enum RecallReason
{
    ChangeOfMind,
    WrongRecipient,
    WrongBat,
    RecordedInError,
    HoldPlaced,
    Other,
}

/// <summary>The one who released the bat calls it back before it was received.</summary>
/// <param name="Handover">Entry of the <c>BatReleased</c>.</param>
public sealed record RecallHandover(long Handover, RecallReason Reason, TurnedBackAt Where, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new HandoverRecalled(Handover, Reason, Where, Explanation)];
}

/// <summary>The release was called back.</summary>
public sealed record HandoverRecalled(long Handover, RecallReason Reason, TurnedBackAt Where, Withheld<string>? Explanation) : BatFact
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
        if (!Mandate.ActsFor(bat, entry, open.From, AuthorisedAct.Release))
            yield return new("not-releaser", "Only the one who released the bat, or someone authorised by them, recalls it.",
                "The recipient may refuse it.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Keeping = Where == TurnedBackAt.StillWithReleaser
            ? bat.Keeping.EndingTransit(bat.Keeping.Handovers[Handover].From, HandoverStanding.Recalled, entry.N)
            : bat.Keeping.TurnedBack(HandoverStanding.Recalled, entry.N),
    };
}
