using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>One lot as it sold.</summary>
/// <param name="Online">The buyer bid online.</param>
/// <param name="Consignor">What its consignor agreed.</param>
public sealed record LotSold(Money Hammer, bool Online, ConsignorTerms Consignor);

/// <summary>One lot's two accounts.</summary>
public sealed record LotAccounts(BuyerAccount Buyer, ConsignorAccount Consignor);

/// <summary>The books of a whole sale: every lot's lines, and their sums. What buyers pay is what consignors get, what the house keeps and what goes to the
/// tax office, to the last minor unit.</summary>
/// <param name="BuyersPay">Sum of the buyers' totals.</param>
/// <param name="ConsignorsGet">Sum of the consignors' shares; a consignor whose commission exceeds the hammer price owes.</param>
/// <param name="HouseKeeps">Premium, online fees and commission.</param>
/// <param name="Tax">What goes to the tax office.</param>
public sealed record SaleBooks(IReadOnlyList<LotAccounts> Lots, Money Hammers, Money BuyersPay, Money ConsignorsGet, Money HouseKeeps, Money Tax)
{
    /// <summary>Zero when the books are right.</summary>
    public Money Balance => BuyersPay - ConsignorsGet - HouseKeeps - Tax;

    /// <summary>
    /// Closes the books. Refuses <c>sale-empty</c> and what <see cref="Premium.TryCharge"/> and <see cref="Premium.TrySettle"/> refuse for the first lot
    /// that cannot be charged; terms of a consignor in another currency are <c>premium-currency</c>.
    /// </summary>
    public static bool TryClose(BuyerTerms terms, IReadOnlyList<LotSold> sold, [NotNullWhen(true)] out SaleBooks? books, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        books = null;
        refusal = sold.Count == 0 ? new("sale-empty", "No lot of the sale was sold.", "A sale without a sold lot has no books.")
            : sold.Any(l => l.Consignor.Currency != terms.Currency) ? new("premium-currency", "Hammer price and terms are in different currencies.", "State all in the sale's currency.")
            : null;
        List<LotAccounts> lots = [];
        foreach (var lot in sold)
        {
            if (refusal is not null || !Premium.TryCharge(terms, lot.Hammer, lot.Online, out var buyer, out refusal)
                || !Premium.TrySettle(lot.Consignor, lot.Hammer, out var consignor, out refusal))
                return false;
            lots.Add(new LotAccounts(buyer, consignor));
        }
        if (refusal is not null)
            return false;
        Money Sum(Func<LotAccounts, Money> line) => lots.Select(line).Aggregate((a, b) => a + b);
        books = new SaleBooks(
            lots, Sum(l => l.Buyer.Hammer), Sum(l => l.Buyer.Total), Sum(l => l.Consignor.Share),
            Sum(l => l.Buyer.Premium + l.Buyer.OnlineFee + l.Consignor.Commission), Sum(l => l.Buyer.Tax));
        return true;
    }
}
