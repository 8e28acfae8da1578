using Custody.Bats;
using Custody.Server.Photographs;
using Custody.Transparency;
using Marten;

namespace Custody.Server.Private;

/// <summary>Carries out the erasure of a party's private values: the entry first, then the key. The mark that a key was destroyed stands with the
/// keys, outside the database, so that a restored database cannot bring the values back.</summary>
public sealed class Erasures(IDocumentStore store, AliasBook aliases, KeyRing keys, WithheldValues withheld, Finding.SearchIndex search)
{
    /// <summary>Why a party cannot be erased yet: a present role on some bat. Null when none stands in the way.</summary>
    public async Task<Refusal?> Refuse(PartyId party, CancellationToken ct)
    {
        var roles = await RolesOf(party, ct);
        return roles.Count == 0 ? null : new("party-has-role",
            $"The party still has a present role on a bat here: {string.Join(", ", roles)}.", "Restrict the party's data until the role ends, then erase.");
    }

    /// <summary>What a party still is to some bat here.</summary>
    public async Task<IReadOnlySet<PresentRole>> RolesOf(PartyId party, CancellationToken ct)
    {
        SortedSet<PresentRole> roles = [];
        await using var session = store.QuerySession();
        foreach (var (stream, alias) in (await aliases.StreamsOf(party, ct)).Where(s => s.Stream.Kind == "bat"))
            if (await session.LoadAsync<Bat>(stream.ToString(), ct) is { } bat) roles.UnionWith(RolesOf(bat, alias));
        return roles;
    }

    static IEnumerable<PresentRole> RolesOf(Bat bat, Alias alias)
    {
        if (bat.Registration is { Voided: true }) yield break; // no bat, so nothing to be anything to
        if (bat.Title.IsHeldBy(alias)) yield return PresentRole.TitleHolder;
        if (bat.Consignments.ByEntry.Values.Any(c => !c.Ended && c.Consignor == alias)) yield return PresentRole.Consignor;
        if (bat.Keeping.Custodian == alias || (bat.Keeping.InTransit is { } n && (bat.Keeping.Handovers[n].From == alias || bat.Keeping.Handovers[n].To == alias)))
            yield return PresentRole.Custodian;
        if (bat.Claims.OpenClaims.Any(c => bat.Claims.ByEntry[c].Claimant == alias)) yield return PresentRole.Claimant;
        if (bat.Authorities.ByEntry.Values.Any(a => !a.Ended && a.Holder == alias)) yield return PresentRole.AuthorityHolder;
    }

    /// <summary>Destroys the keys of those whom these entries erase.</summary>
    public async Task CarryOut(IEnumerable<Entry> recorded, CancellationToken ct)
    {
        foreach (var entry in recorded.Where(e => e.Fact is PartyErased)) await CarryOut(entry.Envelope.Stream.ToString(), ct);
    }

    async Task CarryOut(string party, CancellationToken ct)
    {
        // Papers first: while the party's key stands, its stream says which they are, so that a crash in between can be made good.
        foreach (var value in await withheld.Of(StreamName.Parse(party), ct))
            if (Disclosure.Parse(value.Disclosure).Value is Json.Str text && Hash.TryParse(text.Value, out var hash))
                keys.Destroy(CoveredStore.SubjectOf(ContentHash.FromDigest(hash.ToArray())));
        keys.Destroy(party);
        await search.Forget(party, ct);
    }

    /// <summary>Carries out what a crash between entry and key left due.</summary>
    public async Task CarryOutDue(CancellationToken ct)
    {
        await using var session = store.QuerySession();
        // By hand: states keep enumerated words as their written words, which LINQ would compare as numbers.
        foreach (var party in await session.QueryAsync<PartyState>("where data ->> 'erasure' = 'erased'", ct)) await CarryOut(party.Id, ct);
    }
}
