using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Announce a sale with the terms it will be held under.</summary>
public sealed record AnnounceSale(SaleTerms Terms) : SaleCommand
{
    public override bool Begins => true;

    [System.Text.Json.Serialization.JsonIgnore]
    public override IReadOnlyList<Refusal> Unfit => SaleCharges.Unfit(Terms);

    public override IReadOnlyList<Fact<Sale>> Produce(Sale state, Introductions people) =>
    [
        Terms.Charges is { } charges
            ? new SaleAnnounced2(
                Terms.Form, Terms.Held, Terms.TitlePasses, Terms.Prices, Terms.PremiumRule, Terms.Bands(), charges.Kept, Terms.PaymentDays, Terms.Title,
                Terms.Place, Terms.GoverningLaw, Terms.Conditions, Terms.ConditionsHash)
            : new SaleAnnounced(
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
    Charges? ISaleTerms.Charges => null;

    protected override IReadOnlyList<SaleEventStanding> From => [SaleEventStanding.NotAnnounced];

    protected override IEnumerable<Refusal> PermitOn(Sale sale) => TermsRules.Check(PremiumRule, Premium, PaymentDays);

    public override Sale Apply(Sale state, Entry entry) => state with { Standing = SaleEventStanding.Announced, Terms = entry.N };
}

/// <summary>The sale's first entry, with all that is charged to the buyer.</summary>
[Shape("SaleAnnounced.2")]
public sealed record SaleAnnounced2(
    SaleForm Form, Edtf? Held, TitlePassing TitlePasses, PricePublication Prices, PremiumRule PremiumRule, Keyed<PremiumBand> Premium, Charges? Charges,
    int PaymentDays, Withheld<string>? Title, Withheld<string>? Place, Withheld<string>? GoverningLaw, Withheld<string>? Conditions,
    Withheld<string>? ConditionsHash) : SaleFact, ISaleTerms
{
    protected override IReadOnlyList<SaleEventStanding> From => [SaleEventStanding.NotAnnounced];

    protected override IEnumerable<Refusal> PermitOn(Sale sale) => TermsRules.Check(PremiumRule, Premium, PaymentDays, Charges);

    public override Sale Apply(Sale state, Entry entry) => state with { Standing = SaleEventStanding.Announced, Terms = entry.N };
}
