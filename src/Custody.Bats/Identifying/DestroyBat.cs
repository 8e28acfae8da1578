namespace Custody.Bats;

/// <summary>How a bat ceased to be.</summary>
public enum DestructionCause
{
    Fire,
    Water,
    Accident,
    Insects,
    Rot,
    OnPurpose,
    ByOrder,
    Other,
}

/// <summary>Record that the bat no longer exists. What was begun on it can still be finished: claims resolved, holds lifted, insurance
/// paid.</summary>
/// <param name="Incident">Entry of the incident, when one was reported.</param>
/// <param name="DocumentHash">SHA-256 of the document that shows it.</param>
public sealed record DestroyBat(
    DestructionCause Cause, long? Incident, IReadOnlyList<PictureHash>? Photographs, string? Explanation, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new BatDestroyed(Cause, Incident, Photographs ?? [], Explanation, DocumentHash)];
}

/// <summary>The bat no longer exists. The entry is named for what happened, not for who wished it.</summary>
public sealed record BatDestroyed(
    DestructionCause Cause, long? Incident, IReadOnlyList<PictureHash> Photographs, Withheld<string>? Explanation,
    Withheld<string>? DocumentHash) : BatFact
{
    public override IEnumerable<long> RestsOn => Incident is { } incident ? [incident] : [];
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Incident is { } n && Grounds.Refuse(bat, bat.Incidents.ByEntry, n, "incident") is { } refused) yield return refused;
        if (OwnHands.Refuse(bat, entry) is { } stranger) yield return stranger;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Identity = bat.Identity with { Ending = new Ending(EndingKind.Destroyed, entry.N, null) },
    };
}
