using System.Globalization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Selling;

namespace Custody.Server.SaleStream;

/// <summary>The terms of a sale as typed.</summary>
public sealed class TermsForm
{
    /// <summary>Bands that the form has room for.</summary>
    public const int Bands = 3;

    public string? Title { get; set; }
    public string? Form { get; set; } = nameof(SaleForm.SaleroomAndOnline);
    public string? Held { get; set; }
    public string? Place { get; set; }
    public string? TitlePasses { get; set; } = nameof(TitlePassing.OnFullPayment);
    public string? Prices { get; set; } = nameof(PricePublication.Published);
    public string? Rule { get; set; } = nameof(PremiumRule.Marginal);

    /// <summary>Per cent of each band, the first from nothing on.</summary>
    public List<string?> Rates { get; set; } = [];

    /// <summary>The amount from which each band counts; the first has none.</summary>
    public List<string?> Above { get; set; } = [];

    public string? Currency { get; set; } = SalePage.UsualCurrency;
    public string? PaymentDays { get; set; } = "14";
    public string? Law { get; set; }
    public string? Conditions { get; set; }
    public string? ConditionsHash { get; set; }

    internal static TermsForm Of(TermsRead terms, string currency) => new()
    {
        Title = terms.Title,
        Form = terms.Form.ToString(),
        Held = terms.Held?.ToString(),
        Place = terms.Place,
        TitlePasses = terms.TitlePasses.ToString(),
        Prices = terms.Prices.ToString(),
        Rule = terms.PremiumRule.ToString(),
        Rates = [.. terms.Premium.Select(p => p.Rate.Value.ToString())],
        Above = [.. terms.Premium.Select(p => p.Above?.Amount.ToString())],
        Currency = currency,
        PaymentDays = terms.PaymentDays.ToString(CultureInfo.InvariantCulture),
        Law = terms.GoverningLaw,
        Conditions = terms.Conditions,
        ConditionsHash = terms.ConditionsHash,
    };
}
