namespace Custody.Bats;

/// <summary>On what an erasure is asked for.</summary>
public enum ErasureGround
{
    AskedByTheParty,
    AskedByHeirs,
    NoLongerNeeded,
    ConsentWithdrawn,
    OrderedByCourt,
}

/// <summary>Ask that a party's private data be erased.</summary>
public sealed record RequestErasure(ErasureGround Ground, string? Letter, string? DocumentHash) : PartyCommand
{
    public override bool LedgerSpeaks => By == PartyId.Ledger;

    public override IReadOnlyList<Fact<PartyState>> Produce(PartyState party, Introductions people) =>
        [new PartyErasureRequested(Ground, Letter, DocumentHash)];
}

/// <summary>An erasure is asked for and waits to be answered.</summary>
public sealed record PartyErasureRequested(ErasureGround Ground, Withheld<string>? Letter, Withheld<string>? DocumentHash) : PartyFact
{
    protected override IEnumerable<Refusal> PermitOn(PartyState party, Entry entry)
    {
        if (party.ErasureRequest is { } n)
            yield return new("erasure-asked", $"An erasure is asked for already (entry {n}).", "Answer that one.");
    }

    protected override PartyState ApplyTo(PartyState party, Entry entry) =>
        party with { Erasure = ErasureStanding.Asked, ErasureRequest = entry.N };
}
