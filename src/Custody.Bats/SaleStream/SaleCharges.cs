using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Terms of a sale as the arithmetic reads them.</summary>
public static class SaleCharges
{
    static readonly DecimalText Zero = DecimalText.Zero;

    /// <summary>What the terms charge a buyer whose price is in this currency. Refuses what <see cref="BandTable"/> refuses, <c>premium-currency</c> (a limit
    /// in another one) and <c>amount-not-shown</c> (a limit that this reader is not shown).</summary>
    public static (BuyerTerms? Terms, Refusal? Refused) Of(ISaleTerms terms, Currency currency)
    {
        // Keys are b1, b2, ...: past nine they are not in the order of text.
        List<PremiumBand> bands = [.. terms.Premium.OrderBy(b => Numbered.NumberOf('b', b.Key) ?? int.MaxValue).Select(b => b.Value)];
        return bands.Skip(1).Any(b => b.Above is null)
            ? (null, new("amount-not-shown", "A limit of the premium's bands is not shown.", "Ask the house for the terms of the sale."))
            : Of(terms.PremiumRule, [.. bands.Select(b => new PremiumStep(b.Rate, b.Above?.Value))], terms.Charges is { } c ? new(c.OnlineFee, c.Tax, c.TaxOn, c.Rounding, c.Minimum?.Value, c.Maximum?.Value) : null, currency);
    }

    /// <summary>What of announced terms cannot be meant: bands with gaps or out of order, limits in different currencies, a least premium above the most.</summary>
    internal static IReadOnlyList<Refusal> Unfit(SaleTerms terms)
    {
        if (terms.PremiumRule == PremiumRule.None || terms.Premium is not { Count: > 0 } steps) return [];
        Money?[] limits = [.. steps.Select(s => s.Above), terms.Charges?.Minimum, terms.Charges?.Maximum];
        if (limits.OfType<Money>().Select(m => m.Currency).Distinct().Count() > 1) return [Mixed];
        if (steps.Skip(1).Any(s => s.Above is null))
            return [new("bands-overlap", "Two bands of the premium begin at nothing.", "Each later band says above which amount it counts.")];
        var currency = limits.OfType<Money>().FirstOrDefault()?.Currency ?? Currency.Find("USD")!;
        return Of(terms.PremiumRule, steps, terms.Charges, currency) is (_, { } refused) ? [refused]
            : terms.Charges is { Minimum: { } least, Maximum: { } most } && least.Amount > most.Amount
                ? [new("premium-minimum-above-cap", "The least premium is above the most.", "Raise the cap or lower the minimum.")] : [];
    }

    static Refusal Mixed => new("premium-currency", "Limits of the terms are in different currencies.", "State all in the sale's currency.");

    static (BuyerTerms?, Refusal?) Of(PremiumRule rule, IReadOnlyList<PremiumStep> steps, ChargesStated? charges, Currency currency)
    {
        if (steps.Select(s => s.Above).Append(charges?.Minimum).Append(charges?.Maximum).OfType<Money>().Any(m => m.Currency != currency)) return (null, Mixed);
        List<Band> bands = [.. steps.Select((s, i) => new Band(s.Above?.Amount ?? Zero, i + 1 < steps.Count ? steps[i + 1].Above!.Amount : null, s.Rate.Value))];
        if (rule == PremiumRule.None) bands = [new(Zero, null, Zero)];
        if (!BandTable.TryCreate(bands, rule == PremiumRule.WholePrice ? BandReading.WholePrice : BandReading.Marginal, out var table, out var refused))
            return (null, new(refused.Code, refused.Sentence, refused.Remedy));
        return (new BuyerTerms(
            table, charges?.Minimum, charges?.Maximum, charges?.OnlineFee?.Value ?? Zero, charges?.Tax?.Value ?? Zero, charges?.TaxOn ?? TaxBase.Nothing,
            charges?.Rounding ?? Rounding.HalfAwayFromZero, currency), null);
    }
}
