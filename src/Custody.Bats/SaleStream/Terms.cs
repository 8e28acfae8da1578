using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How a sale is held.</summary>
public enum SaleForm
{
    Saleroom,
    Online,
    SaleroomAndOnline,
    Absentee,
    FixedPrice,
}

/// <summary>How the bands of the buyer's premium are meant.</summary>
public enum PremiumRule
{
    None,
    Marginal,
    WholePrice,
}

/// <summary>Whether the house publishes hammer prices of this sale.</summary>
public enum PricePublication
{
    Published,
    NotPublished,
}

/// <summary>One band of the buyer's premium.</summary>
/// <param name="Rate">Per cent of the hammer price ("%").</param>
/// <param name="Above">The amount from which the band counts; the first band's is nothing.</param>
public sealed record PremiumBand(Quantity Rate, Withheld<Money>? Above) : IPart;

/// <summary>A band as announced.</summary>
public sealed record PremiumStep(Quantity Rate, Money? Above);

/// <summary>The terms of a sale: whichever fact carries them, lots and results cite that entry.</summary>
public interface ISaleTerms
{
    SaleForm Form { get; }

    /// <summary>Days from the sale within which the buyer pays.</summary>
    int PaymentDays { get; }

    Withheld<string>? Title { get; }

    Withheld<string>? Place { get; }

    Withheld<string>? GoverningLaw { get; }

    Withheld<string>? Conditions { get; }

    Withheld<string>? ConditionsHash { get; }

    /// <summary>When title passes.</summary>
    TitlePassing TitlePasses { get; }

    PricePublication Prices { get; }

    /// <summary>When the sale is held.</summary>
    Edtf? Held { get; }

    PremiumRule PremiumRule { get; }

    Keyed<PremiumBand> Premium { get; }
}

/// <summary>Terms as a house writes them.</summary>
/// <param name="PaymentDays">Days from the sale within which the buyer pays.</param>
/// <param name="GoverningLaw">The law that governs the sale, and so when title passes.</param>
/// <param name="ConditionsHash">SHA-256 of the printed conditions.</param>
public sealed record SaleTerms(
    SaleForm Form, Edtf? Held, TitlePassing TitlePasses, PricePublication Prices, PremiumRule PremiumRule, IReadOnlyList<PremiumStep>? Premium,
    int PaymentDays, string? Title, string? Place, string? GoverningLaw, string? Conditions, string? ConditionsHash)
{
    internal Keyed<PremiumBand> Bands() =>
        new((Premium ?? []).Select((step, i) => KeyValuePair.Create(FormattableString.Invariant($"b{i + 1}"), new PremiumBand(step.Rate, step.Above))));
}

/// <summary>What holds for terms, first or changed.</summary>
static class TermsRules
{
    public static IEnumerable<Refusal> Check(PremiumRule rule, Keyed<PremiumBand> bands, int paymentDays)
    {
        if ((rule == PremiumRule.None) != (bands.Count == 0))
            yield return new("premium-unclear", "The rule for the premium and its bands do not fit.", "Give the bands and how they are meant, or none.");
        if (bands.Values.Any(b => b.Rate.Unit.Code != "%" || b.Rate.Value.Sign < 0))
            yield return new("premium-rate", "A premium is a percentage of the hammer price, not below zero.", "Give each rate in per cent.");
        if (paymentDays is < 0 or > 3650)
            yield return new("payment-days", "The time for payment is not a number of days.", "Give the days within which the buyer pays.");
    }
}
