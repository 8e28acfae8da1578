using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Change a sale's terms, its day or its form, before its first lot comes up. All terms are given anew.</summary>
public sealed record ChangeTerms(SaleTerms Terms) : SaleCommand
{
    [System.Text.Json.Serialization.JsonIgnore]
    public override IReadOnlyList<Refusal> Unfit => SaleCharges.Unfit(Terms);

    public override IReadOnlyList<Fact<Sale>> Produce(Sale state, Introductions people) =>
    [
        Terms.Charges is { } charges
            ? new SaleTermsChanged2(
                Terms.Form, Terms.Held, Terms.TitlePasses, Terms.Prices, Terms.PremiumRule, Terms.Bands(), charges.Kept, Terms.PaymentDays, Terms.Title,
                Terms.Place, Terms.GoverningLaw, Terms.Conditions, Terms.ConditionsHash)
            : new SaleTermsChanged(
                Terms.Form, Terms.Held, Terms.TitlePasses, Terms.Prices, Terms.PremiumRule, Terms.Bands(), Terms.PaymentDays, Terms.Title,
                Terms.Place, Terms.GoverningLaw, Terms.Conditions, Terms.ConditionsHash),
    ];
}

/// <summary>The terms in force from here on, in full.</summary>
public sealed record SaleTermsChanged(
    SaleForm Form, Edtf? Held, TitlePassing TitlePasses, PricePublication Prices, PremiumRule PremiumRule, Keyed<PremiumBand> Premium,
    int PaymentDays, Withheld<string>? Title, Withheld<string>? Place, Withheld<string>? GoverningLaw, Withheld<string>? Conditions,
    Withheld<string>? ConditionsHash) : SaleFact, ISaleTerms
{
    Charges? ISaleTerms.Charges => null;

    // Once the first lot has come up, bidders have bid on what was announced.
    protected override IReadOnlyList<SaleEventStanding> From => [SaleEventStanding.Announced];

    protected override IEnumerable<Refusal> PermitOn(Sale sale) => TermsRules.Check(PremiumRule, Premium, PaymentDays);

    public override Sale Apply(Sale state, Entry entry) => state with { Terms = entry.N };
}

/// <summary>The terms in force from here on, in full, with all that is charged to the buyer.</summary>
[Shape("SaleTermsChanged.2")]
public sealed record SaleTermsChanged2(
    SaleForm Form, Edtf? Held, TitlePassing TitlePasses, PricePublication Prices, PremiumRule PremiumRule, Keyed<PremiumBand> Premium, Charges? Charges,
    int PaymentDays, Withheld<string>? Title, Withheld<string>? Place, Withheld<string>? GoverningLaw, Withheld<string>? Conditions,
    Withheld<string>? ConditionsHash) : SaleFact, ISaleTerms
{
    // Once the first lot has come up, bidders have bid on what was announced.
    protected override IReadOnlyList<SaleEventStanding> From => [SaleEventStanding.Announced];

    protected override IEnumerable<Refusal> PermitOn(Sale sale) => TermsRules.Check(PremiumRule, Premium, PaymentDays, Charges);

    public override Sale Apply(Sale state, Entry entry) => state with { Terms = entry.N };
}
