using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What a payment does to what is owed.</summary>
public enum PaymentKind
{
    InPart,
    InFull,
    Refund,
    ToSeller,
}

/// <summary>Record money that moved under a sale.</summary>
/// <param name="Sale">Number of the <c>BatSold</c>.</param>
/// <param name="Kind">Whether the price is now paid in full is said here, in the open; the amounts are not.</param>
public sealed record RecordPayment(long Sale, PaymentKind Kind, PartyId? Payer, Money? Amount, string? Method) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new PaymentRecorded(Sale, Kind, people.OfMaybe(Payer, Role.Payer), Amount, Method)];
}

/// <summary>Money moved. No hold stops the record of it: under a hold the payment stands here and title waits.</summary>
public sealed record PaymentRecorded(long Sale, PaymentKind Kind, Alias? Payer, Withheld<Money>? Amount, Withheld<string>? Method) : BatFact
{
    public override IEnumerable<long> RestsOn => [Sale];

    public override bool DecidesBy(string member) => member is nameof(Kind);

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        // Where title passes before payment, the buyer pays as an owner. Money goes back whatever became of the sale.
        SaleStanding[] standings = Kind == PaymentKind.Refund ? Enum.GetValues<SaleStanding>() : [SaleStanding.Agreed, SaleStanding.TitlePassed];
        foreach (var refusal in bat.Sales.Check(Sale, standings)) yield return refusal;
        if (bat.Sales.ByEntry.GetValueOrDefault(Sale) is not { } sale) yield break;
        if (Kind is PaymentKind.InPart or PaymentKind.InFull && sale.PaidInFull)
            yield return new("paid-already", "The price is paid in full already.", "Record a refund, or correct the earlier entry.");
        if (!sale.IsSide(bat, entry.Envelope.By, entry.Envelope.Recorded))
            yield return new("not-a-side", "Only a side of the sale records its payments.", "Ask the seller, the house or the buyer.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry)
    {
        var sale = bat.Sales.ByEntry[Sale];
        return bat with
        {
            Sales = bat.Sales with
            {
                ByEntry = bat.Sales.ByEntry.SetItem(Sale, sale with { Payments = sale.Payments.Add(entry.N, Kind) }),
            },
        };
    }
}
