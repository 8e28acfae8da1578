using System.Text.Json.Serialization;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What someone asks to have recorded. Plain values: what of it stays open is decided by the fact's shape.</summary>
public abstract record Command
{
    /// <summary>Who acts; a party known to the ledger.</summary>
    public required PartyId By { get; init; }

    /// <summary>True when the ledger itself speaks: the entry's <c>by</c> is the word ledger, and <see cref="By"/> only says, privately,
    /// who asked for it.</summary>
    [JsonIgnore]
    public virtual bool LedgerSpeaks => false;

    /// <summary>When it is said to have happened (EDTF); null when not said.</summary>
    public Edtf? Occurred { get; init; }

    /// <summary>What of the typed amounts cannot be meant, by name. They will be withheld, so that no rule may turn on them and no checker decides it again:
    /// it is asked once, at the door.</summary>
    [JsonIgnore]
    public virtual IReadOnlyList<Refusal> Unfit => [];

    /// <summary>True when the command begins a new stream.</summary>
    [JsonIgnore]
    public virtual bool Begins => false;
}

/// <summary>A command on one kind of stream.</summary>
public abstract record Command<TState> : Command where TState : StreamState<TState>, new()
{
    /// <summary>The facts this command would record, in order, usually one. Only shapes the command into facts: every rule stands in
    /// the facts' <c>Permit</c>, which a checker can call again. Withheld values may be used here, since nothing is decided.</summary>
    public abstract IReadOnlyList<Fact<TState>> Produce(TState state, Introductions people);
}

/// <summary>Hands out the aliases of one stream, introducing a party the first time it is named. One person, one alias per stream.</summary>
/// <param name="known">Every party the command names: its alias in this stream, if it has one, and its name.</param>
public sealed class Introductions(IReadOnlyDictionary<PartyId, KnownParty> known, int lastAlias)
{
    readonly Dictionary<PartyId, Alias> given = [];
    readonly Keyed<Introduced> introduced = [];
    int last = lastAlias;

    /// <summary>The party's alias in this stream; introduced with <paramref name="role"/> when it has none yet.</summary>
    public Alias Of(PartyId party, Role role)
    {
        var facts = known[party];
        if (facts.Alias is { } alias || given.TryGetValue(party, out alias)) return alias;
        alias = new Alias(++last);
        given.Add(party, alias);
        introduced.Add(alias.ToString(), new Introduced(role, facts.Name, party.ToString()));
        return alias;
    }

    public Alias? OfMaybe(PartyId? party, Role role) => party is null ? null : Of(party, role);

    /// <summary>Those introduced so far, or null when nobody is new.</summary>
    public Keyed<Introduced>? Introduced => introduced.Count == 0 ? null : introduced;

    /// <summary>Newly given aliases, for the private table that links parties to them.</summary>
    public IReadOnlyDictionary<PartyId, Alias> Given => given;
}

/// <summary>What the ledger privately knows of a party that a command names.</summary>
public sealed record KnownParty(Alias? Alias, string Name);
