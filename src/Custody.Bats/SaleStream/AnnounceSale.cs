using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Announce a sale with the terms it will be held under.</summary>
public sealed record AnnounceSale(SaleTerms Terms) : SaleCommand
{
    public override bool Begins => true;

    public override IReadOnlyList<Fact<Sale>> Produce(Sale state, Introductions people) =>
    [
        new SaleAnnounced(
            Terms.Form, Terms.Held, Terms.TitlePasses, Terms.Prices, Terms.PremiumRule, Terms.Bands(), Terms.PaymentDays, Terms.Title,
            Terms.Place, Terms.GoverningLaw, Terms.Conditions, Terms.ConditionsHash),
    ];
}

/// <summary>The sale's first entry: form, day and terms.</summary>
public sealed record SaleAnnounced(
    SaleForm Form, Edtf? Held, TitlePassing TitlePasses, PricePublication Prices, PremiumRule PremiumRule, Keyed<PremiumBand> Premium,
    int PaymentDays, Withheld<string>? Title, Withheld<string>? Place, Withheld<string>? GoverningLaw, Withheld<string>? Conditions,
    Withheld<string>? ConditionsHash) : SaleFact, ISaleTerms
{
    protected override IReadOnlyList<SaleEventStanding> From => [SaleEventStanding.NotAnnounced];

    protected override IEnumerable<Refusal> PermitOn(Sale sale) => TermsRules.Check(PremiumRule, Premium, PaymentDays);

    public override Sale Apply(Sale state, Entry entry) => state with { Standing = SaleEventStanding.Announced, Terms = entry.N };
}
