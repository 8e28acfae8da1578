using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>What tax is charged on.</summary>
public enum TaxBase
{
    /// <summary>No tax.</summary>
    Nothing,

    /// <summary>The house's charges to the buyer: premium and online fee.</summary>
    Charges,

    /// <summary>Hammer price, premium and online fee.</summary>
    Everything,
}

/// <summary>What a sale's terms charge the buyer. Rates are percent; every line is rounded once, the total adds rounded lines.</summary>
/// <param name="Premium">Scale of the buyer's premium.</param>
/// <param name="Minimum">Least premium on a lot, null for none.</param>
/// <param name="Cap">Most premium on a lot, null for none.</param>
/// <param name="OnlineFeePercent">Added on the hammer price for bids placed online; 0 for none.</param>
/// <param name="TaxPercent">Rate of tax; 0 for none.</param>
/// <param name="TaxOn">What it is charged on.</param>
/// <param name="Rounding">How each line is rounded to the minor unit.</param>
/// <param name="Currency">The sale's currency.</param>
public sealed record BuyerTerms(BandTable Premium, Money? Minimum, Money? Cap, DecimalText OnlineFeePercent, DecimalText TaxPercent, TaxBase TaxOn,
    Rounding Rounding, Currency Currency);

/// <summary>What a buyer pays for a lot, line by line.</summary>
public sealed record BuyerAccount(Money Hammer, Money Premium, Money OnlineFee, Money Tax, Money Total);

/// <summary>What a consignment's terms charge the consignor.</summary>
/// <param name="Commission">Scale of the commission on the hammer price.</param>
/// <param name="Minimum">Least commission on a lot, null for none.</param>
/// <param name="Rounding">How the commission is rounded to the minor unit.</param>
/// <param name="Currency">The sale's currency.</param>
public sealed record ConsignorTerms(BandTable Commission, Money? Minimum, Rounding Rounding, Currency Currency)
{
    /// <summary>One rate on the whole price, in per cent. Refuses what <see cref="BandTable"/> refuses of it.</summary>
    public static bool TryAtOneRate(DecimalText rate, Currency currency, [NotNullWhen(true)] out ConsignorTerms? terms, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        terms = BandTable.TryCreate([new(DecimalText.Zero, null, rate)], BandReading.WholePrice, out var table, out refusal)
            ? new(table, null, Rounding.HalfAwayFromZero, currency) : null;
        return terms is not null;
    }
}

/// <summary>What a consignor gets for a lot. The share is negative when a minimum commission exceeds the hammer price.</summary>
public sealed record ConsignorAccount(Money Hammer, Money Commission, Money Share);

/// <summary>Hammer price to accounts, exact decimals throughout.</summary>
public static class Premium
{
    static readonly DecimalText Hundredth = DecimalText.Parse("0.01");

    /// <summary>
    /// The buyer's account. Refuses <c>premium-currency</c>, <c>premium-hammer</c> (not above zero), <c>premium-negative</c> and
    /// <c>premium-minimum-above-cap</c>.
    /// </summary>
    public static bool TryCharge(BuyerTerms terms, Money hammer, bool online, [NotNullWhen(true)] out BuyerAccount? account,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        account = null;
        refusal = OfAmounts(terms.Currency, hammer, terms.Minimum, terms.Cap)
            ?? (terms.OnlineFeePercent.Sign < 0 || terms.TaxPercent.Sign < 0 ? Negative : null)
            ?? (terms.Minimum is { } least && terms.Cap is { } most && least.Amount > most.Amount
                ? new("premium-minimum-above-cap", "The least premium is above the most.", "Raise the cap or lower the minimum.") : null);
        if (refusal is not null)
            return false;
        Money Line(DecimalText exact) => Money.Rounded(exact, terms.Currency, terms.Rounding);
        var premium = Line(Between(terms.Premium.On(hammer.Amount), terms.Minimum?.Amount, terms.Cap?.Amount));
        var fee = Line(online ? hammer.Amount * terms.OnlineFeePercent * Hundredth : DecimalText.Zero);
        var taxed = terms.TaxOn switch
        {
            TaxBase.Charges => premium + fee,
            TaxBase.Everything => hammer + premium + fee,
            _ => Line(DecimalText.Zero),
        };
        var tax = Line(taxed.Amount * terms.TaxPercent * Hundredth);
        account = new BuyerAccount(Line(hammer.Amount), premium, fee, tax, Line(hammer.Amount) + premium + fee + tax);
        return true;
    }

    /// <summary>The consignor's account. Refuses <c>premium-currency</c>, <c>premium-hammer</c> and <c>premium-negative</c>.</summary>
    public static bool TrySettle(ConsignorTerms terms, Money hammer, [NotNullWhen(true)] out ConsignorAccount? account,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        account = null;
        refusal = OfAmounts(terms.Currency, hammer, terms.Minimum, null);
        if (refusal is not null)
            return false;
        var commission = Money.Rounded(Between(terms.Commission.On(hammer.Amount), terms.Minimum?.Amount, null), terms.Currency, terms.Rounding);
        var whole = Money.Rounded(hammer.Amount, terms.Currency, terms.Rounding);
        account = new ConsignorAccount(whole, commission, whole - commission);
        return true;
    }

    /// <summary>
    /// What the buyer paid, less what the consignor gets, what the house keeps (commission, premium, fee) and what goes to the tax office. Zero
    /// when the books of a lot are right.
    /// </summary>
    public static Money Balance(BuyerAccount buyer, ConsignorAccount consignor) =>
        buyer.Total - consignor.Share - consignor.Commission - buyer.Premium - buyer.OnlineFee - buyer.Tax;

    static EvidenceRefusal Negative => new("premium-negative", "A term is negative.", "Rates, minimum and cap are zero or more.");

    static EvidenceRefusal? OfAmounts(Currency currency, Money hammer, Money? minimum, Money? cap) =>
        new[] { hammer, minimum, cap }.Any(m => m is not null && m.Currency != currency)
            ? new("premium-currency", "Hammer price and terms are in different currencies.", "State all in the sale's currency.")
            : hammer.Amount.Sign <= 0 ? new("premium-hammer", "The hammer price is not above zero.", "A lot that did not sell has no account.")
            : minimum is { Amount.Sign: < 0 } || cap is { Amount.Sign: < 0 } ? Negative
            : null;

    static DecimalText Between(DecimalText value, DecimalText? least, DecimalText? most)
    {
        var atLeast = least is not null && value < least ? least : value;
        return most is not null && atLeast > most ? most : atLeast;
    }
}
