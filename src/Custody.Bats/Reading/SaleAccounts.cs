using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How an amount stands to what the others and the terms give.</summary>
public enum AmountStanding
{
    AddsUp,
    DoesNotAddUp,

    /// <summary>Something it is checked with is not shown, or was never said.</summary>
    NotChecked,
}

/// <summary>One amount of a sale.</summary>
/// <param name="What">Which, in words that never change.</param>
/// <param name="Computed">What comes out; null where nothing does.</param>
/// <param name="Why">Why it was not checked, or what it misses.</param>
public sealed record AmountChecked(string What, Money? Recorded, Money? Computed, AmountStanding Standing, string? Why = null);

/// <summary>The arithmetic of one sale: a check of its own, because every amount is withheld and no rule may turn on one.</summary>
/// <param name="Sale">Entry of the sale.</param>
/// <param name="Buyer">What the terms charge on the hammer price; null where they or the price are not shown.</param>
/// <param name="Online">Whether the total is that of a bid placed online; null where it is neither, or cannot be told.</param>
/// <param name="Consignor">What the consignor gets by the commission agreed; null where it is not shown or the lot holds several bats.</param>
/// <param name="PaidToSeller">What was paid out; null where nothing is shown.</param>
/// <param name="Refused">Why the terms cannot be computed with.</param>
public sealed record SaleAccount(
    string Method, long Sale, BuyerAccount? Buyer, bool? Online, ConsignorAccount? Consignor, Money? PaidToSeller, IReadOnlyList<AmountChecked> Amounts, Refusal? Refused)
{
    /// <summary>What the consignor agreed, for the books of the sale.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public ConsignorTerms? Agreed { get; init; }

    /// <summary>Name and version of the method.</summary>
    public const string MethodName = "premium/1";

    /// <summary>The worst of its amounts.</summary>
    public AmountStanding Standing => Amounts.Any(a => a.Standing == AmountStanding.DoesNotAddUp) ? AmountStanding.DoesNotAddUp
        : Amounts.Count > 0 && Amounts.All(a => a.Standing == AmountStanding.AddsUp) ? AmountStanding.AddsUp : AmountStanding.NotChecked;

    /// <summary>Every sale of the bat that is not void.</summary>
    /// <param name="termsOf">The terms of a sale by reference, with what this reader is shown; null when they are not held here.</param>
    internal static IReadOnlyList<SaleAccount> Read(Reading reading, Func<Reference, ISaleTerms?> termsOf) =>
        [.. reading.State.Sales.ByEntry.Keys.Where(n => !reading[n].IsVoid).Select(n => Of(reading, n, (BatSold)reading[n].Fact, termsOf))];

    static SaleAccount Of(Reading reading, long n, BatSold sold, Func<Reference, ISaleTerms?> termsOf)
    {
        var (hammer, premium, tax, total) = (sold.Hammer?.Value, sold.Premium?.Value, sold.Tax?.Value, sold.Total?.Value);
        if (SaleAmounts.Contradiction(hammer, premium, tax, total) is { } contradiction)
            return new(MethodName, n, null, null, null, null, [new("total", total, null, AmountStanding.DoesNotAddUp, contradiction.Sentence)], new(contradiction.Code, contradiction.Sentence, contradiction.Remedy));
        var stated = sold.Terms is { } cited ? termsOf(cited) : null;
        var (terms, refused) = stated is not null && hammer is not null ? SaleCharges.Of(stated, hammer.Currency) : (null, null);
        var (room, online) = (Charged(terms, hammer, false), Charged(terms, hammer, true));
        // The way of bidding is told by the total: the entry does not say it. A premium between two fitting totals is the room's.
        bool? wasOnline = total is null || room is null || stated!.Charges is null ? null : total == room.Total ? false : total == online!.Total ? true : null;
        var buyer = wasOnline == true ? online : room;
        var agreed = hammer is null ? null : ConsignorsOf(reading, n, sold, hammer.Currency);
        return new(
            MethodName, n, stated?.Charges is null ? null : buyer, wasOnline, agreed is not null && Evidence.Premium.TrySettle(agreed, hammer!, out var share, out _) ? share : null, PaidOut(reading, n),
            [sold.Terms is null ? Private(premium) : OfPremium(premium, buyer, stated), OfTotal(hammer, premium, tax, total, room, online, stated?.Charges is not null)], refused)
        { Agreed = agreed };
    }

    static BuyerAccount? Charged(BuyerTerms? terms, Money? hammer, bool online) =>
        terms is not null && hammer is not null && Evidence.Premium.TryCharge(terms, hammer, online, out var account, out _) ? account : null;

    // A private sale has no terms that a premium could fail to follow.
    static AmountChecked Private(Money? premium) => new("premium", premium, null, AmountStanding.AddsUp, "Agreed between the two sides; no terms of a sale tell it.");

    static AmountChecked OfPremium(Money? recorded, BuyerAccount? buyer, ISaleTerms? terms)
    {
        const string what = "premium";
        if (recorded is null || buyer is null) return new(what, recorded, buyer?.Premium, AmountStanding.NotChecked, "The premium, the price or the terms are not shown.");
        if (recorded == buyer.Premium) return new(what, recorded, buyer.Premium, AmountStanding.AddsUp);
        // Terms that state bands alone say nothing of a least or greatest premium, nor of rounding: then a difference contradicts nobody.
        return terms!.Charges is null
            ? new(what, recorded, buyer.Premium, AmountStanding.NotChecked, "Not what the bands alone give; these terms state no least or greatest premium and no rounding.")
            : new(what, recorded, buyer.Premium, AmountStanding.DoesNotAddUp, "Not what the terms give on this price.");
    }

    static AmountChecked OfTotal(Money? hammer, Money? premium, Money? tax, Money? total, BuyerAccount? room, BuyerAccount? online, bool whole)
    {
        const string what = "total";
        if (hammer is null || total is null) return new(what, total, null, AmountStanding.NotChecked, "The price or the total is not shown.");
        var lines = SaleAmounts.Lines(hammer, premium, tax);
        if (whole && room is not null && premium is not null && tax is not null)
            return total == room.Total || total == online!.Total ? new(what, total, total, AmountStanding.AddsUp)
                : new(what, total, room.Total, AmountStanding.DoesNotAddUp, "Neither what the terms give for a bid in the room nor for one placed online.");
        if (total == lines) return new(what, total, lines, AmountStanding.AddsUp);
        return new(what, total, lines, AmountStanding.NotChecked, "More than the lines that are shown: a fee or a line that is not shown may be in it.");
    }

    /// <summary>By the commission of the consignment that stood when the bat was sold; one lot's price cannot be shared out among several bats.</summary>
    static ConsignorTerms? ConsignorsOf(Reading reading, long n, BatSold sold, Currency currency)
    {
        if (sold.Lot is not { } lot || Offer.Of(reading[lot].Fact) is not { Bats: 1 }) return null;
        var consigned = reading.Standing<BatConsigned>().LastOrDefault(c => c.At.N < n).Fact;
        return consigned?.Commission?.Value is { Unit.Code: "%" } rate && ConsignorTerms.TryAtOneRate(rate.Value, currency, out var terms, out _) ? terms : null;
    }

    static Money? PaidOut(Reading reading, long sale)
    {
        List<Money?> paid = [.. reading.Standing<PaymentRecorded>().Where(p => p.Fact.Sale == sale && p.Fact.Kind == PaymentKind.ToSeller).Select(p => p.Fact.Amount?.Value)];
        return paid.Count == 0 || paid.Contains(null) || paid.DistinctBy(m => m!.Currency).Count() > 1 ? null : paid.OfType<Money>().Aggregate((a, b) => a + b);
    }
}
