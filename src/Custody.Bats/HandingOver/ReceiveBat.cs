namespace Custody.Bats;

/// <summary>How the seal was found at the receiving end.</summary>
public enum SealFound
{
    NoSeal,
    Intact,
    Broken,
    Missing,
    OtherNumber,
    NotLookedAt,
}

/// <summary>The taking side of a hand-over: the named recipient, or someone recorded as receiving for them, has the bat. After a
/// refusal or recall it is the one who released it.</summary>
/// <param name="Handover">Entry of the <c>BatReleased</c>.</param>
/// <param name="Receiver">Who took it in; null for whoever records it.</param>
/// <param name="Attestation">Of the receiver. On signed paper, or not attested at all, the giving side may record it: shown as
/// such.</param>
/// <param name="Baseline">Entry of the baseline the bat was compared with; null exactly when not checked.</param>
public sealed record ReceiveBat(
    long Handover, PartyId? Receiver, Attestation Attestation, SealFound Seal, long? Baseline, IdentityResult Identity, string? Place,
    string? SealNumber, string? Condition, IReadOnlyList<PictureHash>? Photographs, string? PaperHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new BatReceived(
            Handover, people.Of(Receiver ?? By, Role.Custodian), Attestation, Seal, Baseline, Identity, Photographs ?? [], Place,
            SealNumber, Condition, PaperHash),
    ];
}

/// <summary>The bat arrived with the one it was bound for, who keeps it now.</summary>
public sealed record BatReceived(
    long Handover, Alias Receiver, Attestation Attestation, SealFound Seal, long? Baseline, IdentityResult Identity,
    IReadOnlyList<PictureHash> Photographs, Withheld<string>? Place, Withheld<string>? SealNumber, Withheld<string>? Condition,
    Withheld<string>? PaperHash) : BatFact
{
    // What was begun before the bat was destroyed can still arrive, as remains.
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;
    public override bool IsTwoSided => true;
    public override IEnumerable<long> RestsOn => Baseline is { } baseline ? [baseline] : [];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in bat.RefuseWhileMixedUp()) yield return refusal;
        if (OpenHandover.Refuse(bat, Handover) is { } refused)
            yield return refused;
        else if (!IsNamed(bat, entry, bat.Keeping.Handovers[Handover]))
            yield return new("not-recipient", "Only the named recipient, or someone recorded as receiving for them, receives the bat.",
                "Have them receive it, record their authority, or record a misdelivery.");
        if (Baseline is { } n && Grounds.Refuse(bat, bat.Identity.Baselines, n, "baseline") is { } baseless) yield return baseless;
        if (Baseline is null != (Identity == IdentityResult.NotChecked))
            yield return new("check-not-fitting", "A result is against a baseline, and none is named when nothing was checked.",
                "Name the baseline, or say that it was not checked.");
    }

    // Each side is attested by itself or not at all; the giving side may write down what the taking side signed or only said.
    bool IsNamed(Bat bat, Entry entry, Handover open) =>
        bat.Authorities.Allow(Receiver, open.Bound, AuthorisedAct.Receive, entry.Envelope.Recorded) && entry.Envelope.By is { } by
        && (by == Receiver || Mandate.ActsFor(bat, entry, open.Bound, AuthorisedAct.Receive)
            || (Attestation is Attestation.SignedPaper or Attestation.None
                && Mandate.ActsFor(bat, entry, open.From, AuthorisedAct.Release)));

    protected override Bat ApplyTo(Bat bat, Entry entry)
    {
        var open = bat.Keeping.Handovers[Handover];
        var kept = bat.Keeping.EndingTransit(
            open.Bound, open.Standing == HandoverStanding.InTransit ? HandoverStanding.Received : open.Standing, entry.N);
        var taken = kept with { Handovers = kept.Handovers.SetItem(Handover, kept.Handovers[Handover] with { Taken = Attestation }) };
        var known = Baseline is { } baseline
            ? bat.Identity.After(entry.N, new IdentityCheck(baseline, Identity, CheckOccasion.Receipt))
            : bat.Identity;
        return bat with { Keeping = taken, Identity = known };
    }
}
