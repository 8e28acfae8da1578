using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace Custody.Bats;

/// <summary>When title passes: a term of the sale, under the law it names.</summary>
public enum TitlePassing
{
    OnSale,
    OnFullPayment,
    OnDelivery,
    OnPaymentAndDelivery,
}

public enum SaleStanding
{
    Agreed,
    TitlePassed,
    Defaulted,
    Cancelled,
    Rescinded,
}

/// <summary>One sale of this bat, by the number of its <c>BatSold</c>.</summary>
/// <param name="SoldBy">Who sold: a holder of the title, or a house for all of them.</param>
/// <param name="Sellers">The title as asserted when the bat was sold; what a rescission gives back.</param>
/// <param name="Steps">Standing by the entry that brought it; the last one counts.</param>
/// <param name="Payments">What was paid, by the entry that says so.</param>
public sealed record SaleOfBat(
    SaleChannel Channel, long? Lot, Alias SoldBy, Alias Buyer, TitlePassing TitlePasses, ImmutableSortedDictionary<Alias, Fraction> Sellers,
    ImmutableSortedDictionary<long, SaleStanding> Steps, ImmutableSortedDictionary<long, PaymentKind> Payments)
{
    [JsonIgnore]
    public SaleStanding Standing => Steps.Values.Last();

    [JsonIgnore]
    public bool PaidInFull => Payments.ContainsValue(PaymentKind.InFull);

    /// <summary>True for whoever sold, any seller, the buyer, or someone authorised to sell for one of them.</summary>
    internal bool IsSide(Bat bat, Alias? by, DateTimeOffset recorded) =>
        by is { } actor && Sellers.Keys.Append(SoldBy).Append(Buyer).Any(side => bat.Authorities.Allow(actor, side, AuthorisedAct.Sell, recorded));

    /// <summary>True for the selling side only.</summary>
    internal bool IsSeller(Bat bat, Alias? by, AuthorisedAct act, DateTimeOffset recorded) =>
        by is { } actor && Sellers.Keys.Append(SoldBy).Any(side => bat.Authorities.Allow(actor, side, act, recorded));
}

/// <summary>Every sale of this bat.</summary>
public sealed record Sales
{
    public ImmutableSortedDictionary<long, SaleOfBat> ByEntry { get; init; } = ImmutableSortedDictionary<long, SaleOfBat>.Empty;

    /// <summary>The sale that was agreed and has neither passed title nor ended; at most one.</summary>
    [JsonIgnore]
    public KeyValuePair<long, SaleOfBat>? Agreed =>
        ByEntry.Where(s => s.Value.Standing == SaleStanding.Agreed).Select(s => (KeyValuePair<long, SaleOfBat>?)s).LastOrDefault();

    internal Sales Step(long sale, long n, SaleStanding standing) => this with
    {
        ByEntry = ByEntry.SetItem(sale, ByEntry[sale] with { Steps = ByEntry[sale].Steps.SetItem(n, standing) }),
    };

    /// <summary>As if entry <paramref name="n"/> had not happened.</summary>
    internal Sales Without(long n) => this with
    {
        ByEntry = ByEntry.Remove(n).SetItems(ByEntry.Where(s => s.Key != n && (s.Value.Steps.ContainsKey(n) || s.Value.Payments.ContainsKey(n)))
            .Select(s => KeyValuePair.Create(s.Key, s.Value with { Steps = s.Value.Steps.Remove(n), Payments = s.Value.Payments.Remove(n) }))),
    };

    /// <summary>The rule of every act on a sale: it exists and stands as it must.</summary>
    internal IEnumerable<Refusal> Check(long sale, params SaleStanding[] standings)
    {
        if (!ByEntry.TryGetValue(sale, out var found))
            yield return new("no-such-sale", $"Entry {sale} is not a sale of this bat.", "Name the entry that recorded the sale.");
        else if (!standings.Contains(found.Standing))
            yield return found.Standing == SaleStanding.TitlePassed
                ? new("title-passed", "Title has passed under this sale.", "Rescind the sale while the buyer holds title, or raise a claim.")
                : new("sale-not-standing", "The sale does not stand as this act needs it.", "Look at how the sale stands now.");
    }
}
