namespace Custody.Evidence;

/// <summary>The amounts of one sale as somebody states them, among themselves.</summary>
public static class SaleAmounts
{
    /// <summary>
    /// What contradicts itself among them, whatever the terms are; null when nothing does. <c>premium-currency</c> (two currencies), <c>premium-hammer</c>
    /// (a price that is not above zero), <c>total-below-its-lines</c> (the total is less than hammer price, premium and tax together: a fee may
    /// come on top, nothing comes off).
    /// </summary>
    public static EvidenceRefusal? Contradiction(Money? hammer, Money? premium, Money? tax, Money? total)
    {
        Money[] stated = [.. new[] { hammer, premium, tax, total }.OfType<Money>()];
        if (stated.Select(m => m.Currency).Distinct().Count() > 1)
            return new("premium-currency", "The amounts of the sale are in different currencies.", "State all in the sale's currency.");
        if (hammer is { Amount.Sign: <= 0 })
            return new("premium-hammer", "The price is not above zero.", "Give the hammer price, or the price agreed.");
        return total is not null && hammer is not null && Lines(hammer, premium, tax).Amount > total.Amount
            ? new("total-below-its-lines", "The total is less than price, premium and tax together.", "Add the lines up again.") : null;
    }

    /// <summary>Hammer price, premium and tax together; what is not stated counts nothing. All are in one currency.</summary>
    public static Money Lines(Money hammer, Money? premium, Money? tax) =>
        new[] { premium, tax }.OfType<Money>().Aggregate(hammer, (sum, line) => sum + line);
}
