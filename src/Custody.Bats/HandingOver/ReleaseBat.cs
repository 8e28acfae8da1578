using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How one side of a hand-over attested it.</summary>
public enum Attestation
{
    Account,
    OneTimeLink,
    SignedPaper,
    None,
}

/// <summary>The giving side of a hand-over: the custodian, or someone authorised by them, lets the bat go to a named recipient. The
/// recipient may record it on the custodian's signed paper.</summary>
/// <param name="Due">When it is due back (EDTF); a loan always has one.</param>
/// <param name="PaperHash">SHA-256 of the signed paper, when attested on paper.</param>
public sealed record ReleaseBat(
    PartyId To, HandoverPurpose Purpose, Attestation Attestation, Edtf? Due, string? Reason, string? Place, PartyId? Carrier,
    string? SealNumber, string? Condition, IReadOnlyList<PictureHash>? Photographs, string? PaperHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new BatReleased(
            bat.Keeping.Custodian ?? people.Of(By, Role.Custodian), people.Of(To, Role.Custodian), Purpose, Attestation, Due,
            people.OfMaybe(Carrier, Role.Carrier), Photographs ?? [], Reason, Place, SealNumber, Condition, PaperHash),
    ];
}

/// <summary>The bat left its custodian for a named recipient; in between it is in transit.</summary>
public sealed record BatReleased(
    Alias From, Alias To, HandoverPurpose Purpose, Attestation Attestation, Edtf? Due, Alias? Carrier,
    IReadOnlyList<PictureHash> Photographs,
    Withheld<string>? Reason, Withheld<string>? Place, Withheld<string>? SealNumber, Withheld<string>? Condition,
    Withheld<string>? PaperHash) : BatFact
{
    public override bool MovesTitleCustodyOrHold => true;
    public override bool IsTwoSided => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in bat.RefuseElsewhere()) yield return refusal;
        foreach (var refusal in bat.RefuseWhileMixedUp()) yield return refusal;
        if (bat.Keeping.InTransit is { } n)
            yield return new("in-transit", $"The bat is in transit (entry {n}).", "Have it received, refused or recalled first.");
        else if (bat.Keeping.Custodian != From || !FromGaveWord(bat, entry))
            yield return new("not-custodian", "Only the custodian, or someone authorised by them, releases the bat.",
                "Ask the custodian to release it.");
        if (To == From)
            yield return new("to-oneself", "A bat is not handed over to the one who has it.", "Name the recipient, or record a move.");
        if (Purpose == HandoverPurpose.Loan && Due is null)
            yield return new("due-missing", "A loan has a date on which it is due back.", "Give the date.");
        // Rule 3: a hold on release never stands in the way of a court, the police, an insurer, a conservator or safe storage.
        if (!IsSafeRelease) foreach (var refusal in bat.Holds.RefuseUnder(HoldScope.Release)) yield return refusal;
    }

    bool FromGaveWord(Bat bat, Entry entry) =>
        Mandate.ActsFor(bat, entry, From, AuthorisedAct.Release) || (Attestation == Attestation.SignedPaper && entry.Envelope.By == To);

    bool IsSafeRelease => Purpose is HandoverPurpose.Court or HandoverPurpose.Police or HandoverPurpose.Insurer or HandoverPurpose.Treatment
        or HandoverPurpose.SafeKeeping;

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Keeping = bat.Keeping with
        {
            Custodian = null,
            InTransit = entry.N,
            Since = entry.N,
            Handovers = bat.Keeping.Handovers.Add(entry.N, new Handover(From, To, Purpose, Due, HandoverStanding.InTransit)
            {
                Carrier = Carrier,
                Given = Attestation,
            }),
        },
    };
}
