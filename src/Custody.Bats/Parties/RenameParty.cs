namespace Custody.Bats;

/// <summary>Why a party's name or address is another now.</summary>
public enum PartyChange
{
    Misspelt,
    NewName,
    NewAddress,
    Merged,
    Died,
}

/// <summary>Record a party's name, address and contact as they are from now on. Earlier entries keep the name they were made
/// under.</summary>
public sealed record RenameParty(PartyChange Reason, string Name, string? Address, string? Contact, string? DocumentHash) : PartyCommand
{
    public override IReadOnlyList<Fact<PartyState>> Produce(PartyState party, Introductions people) =>
        [new PartyRenamed(Reason, Name, Address, Contact, DocumentHash)];
}

/// <summary>The party goes by another name, or is reached elsewhere.</summary>
public sealed record PartyRenamed(
    PartyChange Reason, Withheld<string>? Name, Withheld<string>? Address, Withheld<string>? Contact,
    Withheld<string>? DocumentHash) : PartyFact
{
    protected override IEnumerable<Refusal> PermitOn(PartyState party, Entry entry) => [];

    protected override PartyState ApplyTo(PartyState party, Entry entry) => party;
}
