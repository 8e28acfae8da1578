using System.Text.Json.Serialization;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>A change of a lot with what bidders were told. Texts and amounts are null when not shown.</summary>
public sealed record NoticeRead(
    long Entry, DateTimeOffset Recorded, Announcement How, Edtf? Announced, IReadOnlyList<Interest>? Interests, string? Before, string? After,
    Money? LowEstimate, Money? HighEstimate);

/// <summary>One step of a lot or sale.</summary>
public sealed record LotStep(long Entry, LotStanding Standing, DateTimeOffset Recorded, Edtf? Occurred);

public sealed record SaleStep(long Entry, SaleStanding Standing, DateTimeOffset Recorded, Edtf? Occurred);

public sealed record PaymentRead(long Entry, PaymentKind Kind, Who? Payer, Money? Amount, Edtf? Occurred);

/// <summary>What bidders had been told when the lot ended: as it stood recorded then, announced changes only.</summary>
/// <param name="AsOf">The entry that ended the lot.</param>
/// <param name="TextFrom">The entry whose text they had; the text itself is null when not shown.</param>
/// <param name="Interests">Interests declared to them.</param>
/// <param name="Notices">Entries of the announcements made by then.</param>
/// <param name="Kept">Changes recorded by then that were not announced.</param>
public sealed record ToldAtTheHammer(
    long AsOf, long TextFrom, string? Text, IReadOnlyList<Interest> Interests, IReadOnlyList<long> Notices, IReadOnlyList<long> Kept);

/// <summary>A sale of this bat. Prices are the whole lot's; null when not shown.</summary>
public sealed record SaleRead(
    long Entry, SaleChannel Channel, long? Lot, Reference? Terms, Who SoldBy, Who Buyer, TitlePassing TitlePasses, SaleStanding Standing, Money? Hammer,
    Money? Premium, Money? Tax, Money? Total, IReadOnlyList<SaleStep> Steps, IReadOnlyList<PaymentRead> Payments);

/// <summary>One lot this bat stood in.</summary>
/// <param name="Bats">How many bats the lot holds; its price belongs to all of them.</param>
/// <param name="Interests">As declared when it was offered.</param>
/// <param name="Told">Null while the lot is open.</param>
public sealed record LotRead(
    long Entry, Reference Terms, string Number, int Bats, Who House, long? Earlier, IReadOnlyList<Interest> Interests, IReadOnlyList<long> Grounds,
    string? Title, string? Text, Money? LowEstimate, Money? HighEstimate, LotStanding Standing, IReadOnlyList<LotStep> Steps,
    IReadOnlyList<NoticeRead> Notices, ToldAtTheHammer? Told)
{
    /// <summary>The text as the last notice that changed it has it; null when not shown.</summary>
    [JsonIgnore]
    public string? TextNow => Notices.LastOrDefault(n => n.After is not null)?.After ?? Text;
}

/// <summary>Every lot and every sale of the bat, in order of recording.</summary>
public sealed record LotHistory(IReadOnlyList<LotRead> Lots, IReadOnlyList<SaleRead> Sales)
{
    internal static LotHistory Read(Reading reading) => new(
        [.. reading.State.Lots.ByEntry.Select(l => LotOf(reading, l.Key, l.Value))],
        [.. reading.State.Sales.ByEntry.Select(s => SaleOf(reading, s.Key, s.Value))]);

    static LotRead LotOf(Reading reading, long n, Lot lot)
    {
        var offer = Offer.Of(reading[n].Fact)!;
        return new LotRead(
            n, lot.Terms, offer.Number, offer.Bats, reading.Who(lot.House), offer.Earlier, offer.Interests, offer.Grounds, offer.Title, offer.Text,
            offer.Low, offer.High, lot.Standing,
            [.. lot.Steps.Select(s => new LotStep(s.Key, s.Value, reading[s.Key].Recorded, reading[s.Key].Entry.Envelope.Occurred))],
            [.. NoticesOf(reading, n)], ToldOf(reading, n, lot));
    }

    static IEnumerable<NoticeRead> NoticesOf(Reading reading, long lot) =>
        reading.Standing<LotAmended>().Where(a => a.Fact.Lot == lot).Select(a => new NoticeRead(
            a.At.N, a.At.Recorded, a.Fact.How, a.Fact.Announced, a.Fact.Amended == InterestsAmended.Restated ? a.Fact.Interests : null,
            a.Fact.Before?.Value, a.Fact.After?.Value, a.Fact.LowEstimate?.Value, a.Fact.HighEstimate?.Value));

    static ToldAtTheHammer? ToldOf(Reading reading, long n, Lot lot)
    {
        if (lot.Steps.FirstOrDefault(s => s.Value != LotStanding.Offered) is not { Key: > 0 } ended) return null;
        // Nothing learnt or corrected later changes what they had been told: read the record as it stood just before the lot ended.
        var then = reading.Before(ended.Key);
        var offer = Offer.Of(then[n].Fact)!;
        List<(Noted At, LotAmended Fact)> changes = [.. then.Standing<LotAmended>().Where(a => a.Fact.Lot == n)];
        List<(Noted At, LotAmended Fact)> told = [.. changes.Where(c => c.Fact.How != Announcement.NotAnnounced)];
        var text = told.LastOrDefault();
        var interests = told.LastOrDefault(c => c.Fact.Amended == InterestsAmended.Restated).Fact?.Interests ?? offer.Interests;
        return new ToldAtTheHammer(
            ended.Key, text.At?.N ?? n, text.Fact is null ? offer.Text : text.Fact.After?.Value, interests, [.. told.Select(c => c.At.N)],
            [.. changes.Where(c => c.Fact.How == Announcement.NotAnnounced).Select(c => c.At.N)]);
    }

    static SaleRead SaleOf(Reading reading, long n, SaleOfBat sale)
    {
        var sold = (BatSold)reading[n].Fact;
        return new SaleRead(
            n, sale.Channel, sale.Lot, sold.Terms, reading.Who(sale.SoldBy), reading.Who(sale.Buyer), sale.TitlePasses, sale.Standing,
            sold.Hammer?.Value, sold.Premium?.Value, sold.Tax?.Value, sold.Total?.Value,
            [.. sale.Steps.Select(s => new SaleStep(s.Key, s.Value, reading[s.Key].Recorded, reading[s.Key].Entry.Envelope.Occurred))],
            [.. sale.Payments.Select(p => PaymentOf(reading, p.Key))]);
    }

    static PaymentRead PaymentOf(Reading reading, long n)
    {
        var payment = (PaymentRecorded)reading[n].Fact;
        return new PaymentRead(n, payment.Kind, reading.WhoMaybe(payment.Payer), payment.Amount?.Value, reading[n].Entry.Envelope.Occurred);
    }
}

/// <summary>What the two kinds of offer have in common.</summary>
sealed record Offer(
    string Number, int Bats, long? Earlier, IReadOnlyList<Interest> Interests, IReadOnlyList<long> Grounds, string? Title, string? Text, Money? Low,
    Money? High)
{
    public static Offer? Of(Fact fact) => fact switch
    {
        LotOffered o => new(o.Number, o.Bats, null, o.Interests, o.Grounds, o.Title?.Value, o.Text?.Value, o.LowEstimate?.Value, o.HighEstimate?.Value),
        LotReoffered o => new(o.Number, o.Bats, o.Earlier, o.Interests, o.Grounds, o.Title?.Value, o.Text?.Value, o.LowEstimate?.Value, o.HighEstimate?.Value),
        _ => null,
    };
}
