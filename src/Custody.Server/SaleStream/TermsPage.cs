using System.Globalization;
using Custody.Bats;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.SaleStream;

/// <summary>A page on which the terms of a sale are written, first or anew.</summary>
public abstract class TermsPage(Recorder recorder, SaleDesk desk) : SalePage(recorder, desk)
{
    [BindProperty]
    public TermsForm Terms { get; set; } = new();

    /// <summary>The terms as typed; null when something of them cannot be read, which is then said.</summary>
    protected SaleTerms? Read()
    {
        var (form, passes, prices, rule) = (Word<SaleForm>(Terms.Form), Word<TitlePassing>(Terms.TitlePasses), Word<PricePublication>(Terms.Prices), Word<PremiumRule>(Terms.Rule));
        Needed(Text(Terms.Title), "Terms.Title", "Give the sale a title to be found by.");
        Needed(form, "Terms.Form", "Say how it is held.");
        Needed(passes, "Terms.TitlePasses", "Say when title passes.");
        Needed(prices, "Terms.Prices", "Say whether hammer prices are published.");
        Needed(rule, "Terms.Rule", "Say how the bands are meant.");
        var held = Date(Terms.Held, "Terms.Held");
        List<PremiumStep> bands = [];
        for (var i = 0; i < Math.Min(Terms.Rates.Count, TermsForm.Bands); i++)
        {
            if (Measure(Terms.Rates[i], "%", "Terms.Rule") is not { } rate) continue;
            var above = i < Terms.Above.Count ? Price(Terms.Above[i], Terms.Currency, "Terms.Rule") : null;
            if (bands.Count > 0) Needed(above, "Terms.Rule", "Say from what amount each further band counts.");
            bands.Add(new(rate, bands.Count == 0 ? null : above));
        }
        if (!int.TryParse(Terms.PaymentDays, NumberStyles.None, CultureInfo.InvariantCulture, out var days)) Refuse("Terms.PaymentDays", "That is no number of days.", "Give the days within which the buyer pays.");
        return !ModelState.IsValid ? null : new(form!.Value, held, passes!.Value, prices!.Value, rule!.Value, bands, days, Text(Terms.Title), Text(Terms.Place), Text(Terms.Law), Text(Terms.Conditions), Text(Terms.ConditionsHash));
    }

    protected override string FieldOf(string code) => code switch
    {
        "premium-unclear" or "premium-rate" => "Terms.Rule",
        "payment-days" => "Terms.PaymentDays",
        _ => "",
    };
}
