namespace Custody.Bats;

/// <summary>What a party is.</summary>
public enum PartyKind
{
    Person,
    Estate,
    Trust,
    House,
    Examiner,
    Club,
    League,
    Maker,
    Museum,
    Carrier,
    Insurer,
    Conservator,
    Court,
    Police,
    Company,
    Other,
}

/// <summary>How far the erasure of a party's private data has come.</summary>
public enum ErasureStanding
{
    NotAsked,
    Asked,
    Restricted,
    Erased,
}

/// <summary>A person or firm across bats. The name and everything else about them is withheld and not in this state.</summary>
public sealed record PartyState : StreamState<PartyState>
{
    public PartyKind Kind { get; init; }

    public ErasureStanding Erasure { get; init; }

    /// <summary>Number of the request that is open or was carried out; null while none is.</summary>
    public long? ErasureRequest { get; init; }
}

/// <summary>A fact on a party's stream.</summary>
public abstract record PartyFact : Fact<PartyState>
{
    public sealed override IEnumerable<Refusal> Permit(PartyState party, Entry entry, ICited cited)
    {
        if (!party.Exists && this is not PartyRecorded)
            return [new("party-not-recorded", "The first entry of a party's stream records the party.", "Record the party first.")];
        if (party.Erasure == ErasureStanding.Erased)
            return [new("party-erased", "This party's private data were erased.", "Record the party anew if they come again.")];
        return PermitOn(party, entry);
    }

    public sealed override PartyState Apply(PartyState party, Entry entry) => ApplyTo(party, entry);

    protected abstract IEnumerable<Refusal> PermitOn(PartyState party, Entry entry);

    protected abstract PartyState ApplyTo(PartyState party, Entry entry);
}

/// <summary>A command on a party's stream.</summary>
public abstract record PartyCommand : Command<PartyState>;
