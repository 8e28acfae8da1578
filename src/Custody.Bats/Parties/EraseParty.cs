namespace Custody.Bats;

/// <summary>What a party still is to some bat, for which their data are kept under restriction.</summary>
public enum PresentRole
{
    TitleHolder,
    Consignor,
    Custodian,
    Claimant,
    AuthorityHolder,
}

/// <summary>Answer an erasure request of someone who still holds title, consigns or keeps a bat: restriction until the role ends, then
/// the same request is carried out. Which roles a party has is known across bats only to who records this: a decision here sees the
/// party's stream alone.</summary>
/// <param name="Roles">At least one.</param>
public sealed record RestrictParty(IReadOnlyList<PresentRole> Roles, string? Explanation) : PartyCommand
{
    public override bool LedgerSpeaks => By == PartyId.Ledger;

    public override IReadOnlyList<Fact<PartyState>> Produce(PartyState party, Introductions people) =>
        [new PartyErasureRestricted(party.ErasureRequest ?? 0, [.. Roles.Distinct().Order()], Explanation)];
}

/// <summary>The party's data are kept but no longer shown, until the roles named end.</summary>
public sealed record PartyErasureRestricted(long Request, IReadOnlyList<PresentRole> Roles, Withheld<string>? Explanation) : PartyFact
{
    protected override IEnumerable<Refusal> PermitOn(PartyState party, Entry entry)
    {
        if (Erasing.RefuseUnlessAsked(party, Request) is { } refused) yield return refused;
        if (Roles.Count == 0) yield return new("no-role", "No role stands in the way of erasing.", "Erase, or say which role does.");
    }

    protected override PartyState ApplyTo(PartyState party, Entry entry) => party with { Erasure = ErasureStanding.Restricted };
}

/// <summary>What law requires to be retained although the rest is erased: the register that an erasure keeps.</summary>
public enum Retained
{
    TitleHistory,
    SaleRecords,
    TaxRecords,
    IdentityOfConsignor,
    OpenClaim,
    CourtOrder,
}

/// <summary>Carry out an erasure request. The entry comes first and the key is destroyed after it, so that a crash in between leaves
/// an erasure that is known to be still due.</summary>
/// <param name="Retained">What is kept because law requires it; may be nothing.</param>
public sealed record EraseParty(IReadOnlyList<Retained> Retained, string? Explanation) : PartyCommand
{
    public override bool LedgerSpeaks => By == PartyId.Ledger;

    public override IReadOnlyList<Fact<PartyState>> Produce(PartyState party, Introductions people) =>
        [new PartyErased(party.ErasureRequest ?? 0, [.. Retained.Distinct().Order()], Explanation)];
}

/// <summary>The key to the party's withheld values is to be destroyed. Digests, aliases and open fields stay; copies handed out cannot
/// be recalled.</summary>
public sealed record PartyErased(long Request, IReadOnlyList<Retained> Retained, Withheld<string>? Explanation) : PartyFact
{
    protected override IEnumerable<Refusal> PermitOn(PartyState party, Entry entry)
    {
        if (Erasing.RefuseUnlessAsked(party, Request) is { } refused) yield return refused;
    }

    protected override PartyState ApplyTo(PartyState party, Entry entry) => party with { Erasure = ErasureStanding.Erased };
}

static class Erasing
{
    public static Refusal? RefuseUnlessAsked(PartyState party, long request) => party.ErasureRequest is { } asked && asked == request
        ? null
        : new("erasure-not-asked", "That erasure was not asked for.", "Record the request first.");
}
