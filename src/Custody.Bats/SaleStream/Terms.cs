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

/// <summary>What the terms charge the buyer besides the bands of the premium.</summary>
/// <param name="OnlineFee">Per cent of the hammer price ("%"), added for a bid placed online.</param>
/// <param name="Tax">Per cent ("%").</param>
/// <param name="TaxOn">What tax is charged on.</param>
/// <param name="Rounding">How each line is rounded to the currency's minor unit.</param>
/// <param name="Minimum">Least premium on a lot.</param>
/// <param name="Maximum">Most premium on a lot.</param>
public sealed record Charges(
    Quantity OnlineFee, Quantity Tax, TaxBase TaxOn, Rounding Rounding, Withheld<Money>? Minimum, Withheld<Money>? Maximum) : IPart;

/// <summary>The same as announced; rates left out are nothing.</summary>
public sealed record ChargesStated(
    Quantity? OnlineFee = null, Quantity? Tax = null, TaxBase TaxOn = TaxBase.Nothing, Rounding Rounding = Rounding.HalfAwayFromZero, Money? Minimum = null,
    Money? Maximum = null)
{
    static readonly Quantity Nothing = Quantity.Parse("0", "%");

    internal Charges Kept => new(OnlineFee ?? Nothing, Tax ?? Nothing, TaxOn, Rounding, Minimum, Maximum);
}

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

    PremiumRule PremiumRule { get; }

    Keyed<PremiumBand> Premium { get; }

    /// <summary>Null where the terms state none, or their shape knew none: then fees, tax and rounding are not known from them.</summary>
    Charges? Charges { get; }

    /// <summary>When title passes.</summary>
    TitlePassing TitlePasses { get; }

    PricePublication Prices { get; }

    /// <summary>When the sale is held.</summary>
    Edtf? Held { get; }
}

/// <summary>Terms as a house writes them.</summary>
/// <param name="PaymentDays">Days from the sale within which the buyer pays.</param>
/// <param name="GoverningLaw">The law that governs the sale, and so when title passes.</param>
/// <param name="ConditionsHash">SHA-256 of the printed conditions.</param>
/// <param name="Charges">What is charged besides the bands of the premium; needed so that totals can be checked to the last cent.</param>
public sealed record SaleTerms(
    SaleForm Form, Edtf? Held, TitlePassing TitlePasses, PricePublication Prices, PremiumRule PremiumRule, IReadOnlyList<PremiumStep>? Premium,
    int PaymentDays, string? Title, string? Place, string? GoverningLaw, string? Conditions, string? ConditionsHash, ChargesStated? Charges = null)
{
    internal Keyed<PremiumBand> Bands() =>
        new((Premium ?? []).Select((step, i) => KeyValuePair.Create(FormattableString.Invariant($"b{i + 1}"), new PremiumBand(step.Rate, step.Above))));
}

/// <summary>What holds for terms, first or changed.</summary>
static class TermsRules
{
    public static IEnumerable<Refusal> Check(PremiumRule rule, Keyed<PremiumBand> bands, int paymentDays, Charges? charges = null)
    {
        if (charges is not null && new[] { charges.OnlineFee, charges.Tax }.Any(rate => rate.Unit.Code != "%" || rate.Value.Sign < 0 || rate.Value > DecimalText.Parse("100")))
            yield return new("charge-rate", "A fee or tax is not a percentage from 0 to 100.", "Give each rate in per cent, 0 for none.");
        if (charges is not null && (charges.TaxOn == TaxBase.Nothing) != (charges.Tax.Value.Sign == 0))
            yield return new("tax-unclear", "The rate of tax and what it is charged on do not fit.", "Give both, or neither.");
        if ((rule == PremiumRule.None) != (bands.Count == 0))
            yield return new("premium-unclear", "The rule for the premium and its bands do not fit.", "Give the bands and how they are meant, or none.");
        if (bands.Values.Any(b => b.Rate.Unit.Code != "%" || b.Rate.Value.Sign < 0))
            yield return new("premium-rate", "A premium is a percentage of the hammer price, not below zero.", "Give each rate in per cent.");
        if (paymentDays is < 0 or > 3650)
            yield return new("payment-days", "The time for payment is not a number of days.", "Give the days within which the buyer pays.");
    }
}
