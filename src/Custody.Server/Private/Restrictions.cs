using Custody.Bats;
using Marten;

namespace Custody.Server.Private;

/// <summary>Whose data are restricted: they asked to be erased and still have a role on some bat. Their values are kept and shown to nobody outside.</summary>
public sealed class Restrictions(IDocumentStore store, KeyRing keys)
{
    /// <summary>Every party that waits for its last role to end.</summary>
    public async Task<IReadOnlyList<PartyId>> Parties(CancellationToken ct)
    {
        await using var session = store.QuerySession();
        // By hand: states keep enumerated words as their written words, which LINQ would compare as numbers.
        return [.. (await session.QueryAsync<PartyState>("where data ->> 'erasure' = 'restricted' order by id", ct)).Select(p => PartyId.Parse(p.Id))];
    }

    /// <summary>Names of the keys under which their values stand.</summary>
    public async Task<IReadOnlySet<string>> Keys(CancellationToken ct) => (await Parties(ct)).Select(p => keys.IdOf(p.ToString())).ToHashSet(StringComparer.Ordinal);
}
