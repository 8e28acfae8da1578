using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Readings;
using Custody.Server.Recording;

namespace Custody.Server.Selling;

/// <summary>What a hammer price would come to.</summary>
/// <param name="Terms">The terms it is computed by.</param>
/// <param name="Consignor">Null where no commission is named.</param>
public sealed record PriceCharged(string Method, Reference Terms, BuyerAccount Buyer, ConsignorAccount? Consignor);

/// <summary>One sold lot in the books of a sale, with the arithmetic of its sale.</summary>
/// <param name="Bats">All the bats of the lot; its price is for all of them together.</param>
public sealed record LotInBooks(string Number, IReadOnlyList<NamedBat> Bats, SaleAccount Account);

/// <summary>The books of one sale.</summary>
/// <param name="Lots">Every sold lot whose sale stands, once.</param>
/// <param name="Books">Sums over the lots that could be charged, with a balance of zero; null where none could.</param>
/// <param name="LeftOut">Lots that are not in the sums, by number, and why.</param>
public sealed record BooksRead(string Sale, IReadOnlyList<LotInBooks> Lots, SaleBooks? Books, IReadOnlyDictionary<string, Refusal> LeftOut);

/// <summary>The arithmetic of sales from what the house recorded. It records nothing.</summary>
public sealed class AccountsDesk(Histories histories, ReadingDesk desk)
{
    /// <summary>The arithmetic of every sale of a bat.</summary>
    public async Task<IReadOnlyList<SaleAccount>> Of(Reading reading, CancellationToken ct)
    {
        var terms = await Terms(reading.Lots().Sales.Select(s => s.Terms).OfType<Reference>(), ct);
        return reading.Accounts(r => terms.GetValueOrDefault(r));
    }

    /// <summary>What a price would come to under the terms in force; refuses <c>sale-unknown</c> and what <see cref="SaleCharges"/> and <see cref="Premium"/> refuse.</summary>
    /// <param name="commission">Per cent of the hammer price; null for the buyer's account alone.</param>
    public async Task<(PriceCharged? Charged, Refusal? Refused)> Charge(StreamName sale, Money hammer, bool online, DecimalText? commission, CancellationToken ct)
    {
        if (await InForce(sale, ct) is not { } force) return (null, new("sale-unknown", "There is no such sale in this ledger.", "Look its name up again."));
        var (terms, refused) = SaleCharges.Of(force.Terms, hammer.Currency);
        if (terms is null) return (null, refused);
        ConsignorAccount? consignor = null;
        if (!Premium.TryCharge(terms, hammer, online, out var buyer, out var no) || (commission is not null && !TrySettle(commission, hammer, out consignor, out no)))
            return (null, new(no!.Code, no.Sentence, no.Remedy));
        return (new(SaleAccount.MethodName, force.Cited, buyer, consignor), null);
    }

    /// <summary>The books of a sale; null when there is no such sale.</summary>
    public async Task<BooksRead?> Books(StreamName sale, CancellationToken ct)
    {
        if (await InForce(sale, ct) is not { } force || await desk.BatsIn(sale, ct) is not { } bats) return null;
        List<(string Number, NamedBat Bat, SaleRead Sold, SaleAccount Account)> sold = [];
        foreach (var bat in bats)
        {
            var (lots, accounts) = (bat.Lots(), await Of(bat, ct));
            sold.AddRange(lots.Sales.Where(s => s.Standing is SaleStanding.Agreed or SaleStanding.TitlePassed && s.Lot is not null)
                .Select(s => (Lot: lots.Lots.First(l => l.Entry == s.Lot), Sold: s)).Where(x => x.Lot.Terms.Stream == sale)
                .Select(x => (x.Lot.Number, NamedBat.Of(bat), x.Sold, accounts.First(a => a.Sale == x.Sold.Entry))));
        }
        // Several bats in one lot each carry the lot's price: it is paid once.
        List<LotInBooks> all = [.. sold.GroupBy(s => s.Number, StringComparer.Ordinal).OrderBy(l => l.Key, LotNumbers.InOrder)
            .Select(l => new LotInBooks(l.Key, [.. l.Select(s => s.Bat)], l.First().Account))];
        SortedDictionary<string, Refusal> left = new(StringComparer.Ordinal);
        List<LotSold> charged = [];
        BuyerTerms? terms = null;
        foreach (var lot in all)
        {
            var price = sold.First(s => s.Number == lot.Number).Sold.Hammer;
            if (WhyNot(lot, price) is { } why) left[lot.Number] = why;
            else if (SaleCharges.Of(force.Terms, price!.Currency) is var (read, refused) && read is null) left[lot.Number] = refused!;
            else if (terms is not null && terms.Currency != price.Currency) left[lot.Number] = new("premium-currency", "The lot was sold in another currency than the first.", "Close its books apart.");
            else
            {
                terms ??= read;
                charged.Add(new(price, lot.Account.Online == true, lot.Account.Agreed!));
            }
        }
        return new(sale.ToString(), all, terms is not null && SaleBooks.TryClose(terms, charged, out var books, out _) ? books : null, left);
    }

    static Refusal? WhyNot(LotInBooks lot, Money? price) =>
        price is null ? new("amount-not-shown", "The price of the lot is not shown.", "It was never said, or was erased.")
        : lot.Account.Agreed is null ? new("commission-not-known", "No one commission is recorded for the lot.", "Record the consignment with its commission; of several bats settle each by hand.")
        : null;

    static bool TrySettle(DecimalText commission, Money hammer, out ConsignorAccount? account, out EvidenceRefusal? refusal)
    {
        account = null;
        return ConsignorTerms.TryAtOneRate(commission, hammer.Currency, out var terms, out refusal) && Premium.TrySettle(terms, hammer, out account, out refusal);
    }

    async Task<(ISaleTerms Terms, Reference Cited)?> InForce(StreamName sale, CancellationToken ct) =>
        (await histories.Shown(sale, ct)).LastOrDefault(e => e.Fact is ISaleTerms) is { } entry ? ((ISaleTerms)entry.Fact, entry.Reference) : null;

    async Task<Dictionary<Reference, ISaleTerms>> Terms(IEnumerable<Reference> cited, CancellationToken ct)
    {
        Dictionary<Reference, ISaleTerms> terms = [];
        foreach (var stream in cited.Where(r => r.Ledger is null).Select(r => r.Stream).Distinct().ToList())
            foreach (var entry in await histories.Shown(stream, ct))
                if (entry.Fact is ISaleTerms found) terms[entry.Reference] = found;
        return terms;
    }
}
