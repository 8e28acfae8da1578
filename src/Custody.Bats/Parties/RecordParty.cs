namespace Custody.Bats;

/// <summary>Take a person or firm into the ledger. Everything about them is withheld; only the kind of party is open.</summary>
/// <param name="OtherNames">Names they also went by.</param>
/// <param name="IdentityShown">What they showed to prove who they are.</param>
public sealed record RecordParty(
    PartyKind Kind, string Name, IReadOnlyList<string>? OtherNames, string? Address, string? Contact, string? IdentityShown) : PartyCommand
{
    public override bool Begins => true;

    public override IReadOnlyList<Fact<PartyState>> Produce(PartyState party, Introductions people) =>
        [new PartyRecorded(Kind, Name, OtherNames is null ? null : new Withheld<IReadOnlyList<string>>(OtherNames), Address, Contact,
            IdentityShown)];
}

/// <summary>The party's first entry.</summary>
public sealed record PartyRecorded(
    PartyKind Kind, Withheld<string>? Name, Withheld<IReadOnlyList<string>>? OtherNames, Withheld<string>? Address,
    Withheld<string>? Contact, Withheld<string>? IdentityShown) : PartyFact
{
    protected override IEnumerable<Refusal> PermitOn(PartyState party, Entry entry)
    {
        if (party.Exists) yield return new("already-recorded", "This party is recorded already.", "Record what changed.");
    }

    protected override PartyState ApplyTo(PartyState party, Entry entry) => party with { Kind = Kind };
}
