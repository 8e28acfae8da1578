using Custody.Bats;
using Custody.Evidence;

namespace Custody.Server.Selling;

/// <summary>The terms of a sale as the house reads them; texts and amounts are null when never said, or erased.</summary>
public sealed record TermsRead(
    SaleForm Form, Edtf? Held, TitlePassing TitlePasses, PricePublication Prices, PremiumRule PremiumRule, IReadOnlyList<PremiumStep> Premium, int PaymentDays,
    string? Title, string? Place, string? GoverningLaw, string? Conditions, string? ConditionsHash)
{
    /// <summary>Null when the fact carries no terms.</summary>
    internal static TermsRead? Of(Fact fact) => fact is not ISaleTerms t ? null : new(
        t.Form, t.Held, t.TitlePasses, t.Prices, t.PremiumRule, Bands(t.Premium), t.PaymentDays, t.Title?.Value, t.Place?.Value, t.GoverningLaw?.Value, t.Conditions?.Value, t.ConditionsHash?.Value);

    static IReadOnlyList<PremiumStep> Bands(Keyed<PremiumBand> bands) => [.. bands.Values.Select(b => new PremiumStep(b.Rate, b.Above?.Value))];
}

/// <summary>One sale: what its own entries say.</summary>
/// <param name="Terms">Those in force now.</param>
/// <param name="InForce">The entry that set them; lots and results cite it.</param>
public sealed record SaleHead(StreamName Stream, SaleEventStanding Standing, long N, TermsRead Terms, Reference InForce, IReadOnlyList<Entry> Entries)
{
    public string Address => "/sales/" + Stream.Id;

    public string Title => Terms.Title ?? (Terms.Held is { } held ? $"Sale of {held}" : "Sale without a title");

    /// <summary>Lots are offered in it: it has not ended.</summary>
    public bool TakesLots => Standing is SaleEventStanding.Announced or SaleEventStanding.Open;

    /// <summary>Lots come up in it, or have.</summary>
    public bool TakesResults => Standing is SaleEventStanding.Open or SaleEventStanding.Closed;

    /// <summary>Null when the terms in force are not there: gone with a lost tail.</summary>
    internal static SaleHead? Of(StreamName stream, Sale state, IReadOnlyList<Entry> entries) =>
        entries.FirstOrDefault(e => e.N == state.Terms) is { } at && TermsRead.Of(at.Fact) is { } terms
            ? new(stream, state.Standing, state.N, terms, new(null, stream, at.N, at.Hash), entries) : null;
}
