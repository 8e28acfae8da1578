namespace Custody.Bats.Tests;

/// <summary>Any party may be named in a test: those without an alias are simply new.</summary>
sealed class Everybody(Dictionary<PartyId, Alias> known) : Dictionary<PartyId, KnownParty>, IReadOnlyDictionary<PartyId, KnownParty>
{
    KnownParty IReadOnlyDictionary<PartyId, KnownParty>.this[PartyId party] =>
        new(known.TryGetValue(party, out var alias) ? alias : null, "Someone of " + party);
}
