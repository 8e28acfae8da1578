using Custody.Bats;

namespace Custody.Ledger;

/// <summary>What of the withheld values stands on public pages: names of houses, names of those who gave an opinion, and hammer prices where the terms of
/// the sale say so. Never a place, a private custodian or owner, a text or any other amount.</summary>
public static class PublicPolicy
{
    /// <summary>The places to show.</summary>
    /// <param name="shown">The history with every value that the house has.</param>
    /// <param name="kindOf">What a party is; null for one whose data are restricted or erased.</param>
    /// <param name="termsOf">The terms of a sale by reference; null when they are not kept here.</param>
    public static IReadOnlySet<WithheldPlace> Of(IReadOnlyList<Entry> shown, Func<PartyId, PartyKind?> kindOf, Func<Reference, ISaleTerms?> termsOf) =>
        Names(shown, kindOf).Concat(Hammers(shown, termsOf)).ToHashSet();

    static IEnumerable<WithheldPlace> Names(IReadOnlyList<Entry> shown, Func<PartyId, PartyKind?> kindOf)
    {
        foreach (var entry in shown)
            foreach (var (key, party) in entry.Fact.Parties ?? [])
                if (party is { Name: not null, PartyStream.Value: var stream } && kindOf(PartyId.Parse(stream)) is { } kind
                    && (kind == PartyKind.House || GaveOnlyOpinions(shown, Alias.Parse(key))))
                    yield return new(entry.N, "/body/parties/" + key, "name");
    }

    // Somebody who gives opinions may also own, keep or consign a bat: then the name stays withheld, because one alias says both.
    static bool GaveOnlyOpinions(IReadOnlyList<Entry> shown, Alias alias)
    {
        var named = shown.Where(e => e.Fact.Names().Contains(alias)).ToList();
        return named.Exists(e => e.Fact is IGivenOpinion given && (given.House == alias || given.Examiners.Contains(alias))
                || e.Fact is OpinionReported reported && (reported.House == alias || reported.Examiner == alias))
            && named.TrueForAll(e => e.Fact switch
            {
                IGivenOpinion given => given.AskedBy != alias && given.PaidBy != alias && given.Player != alias,
                OpinionReported reported => reported.Player != alias,
                ExaminationOpened or FindingsRevised => true,
                _ => false,
            });
    }

    static IEnumerable<WithheldPlace> Hammers(IReadOnlyList<Entry> shown, Func<Reference, ISaleTerms?> termsOf) =>
        shown.Where(e => e.Fact is BatSold { Hammer: not null, Terms: { } terms } && termsOf(terms) is { Prices: PricePublication.Published })
            .Select(e => new WithheldPlace(e.N, "/body", "hammer"));
}
