using Custody.Bats;

namespace Custody.Server.Selling;

/// <summary>One bat under a lot number, as its kept state says.</summary>
/// <param name="Entry">The entry that offered it.</param>
/// <param name="Ended">The entry that ended the lot, the last one; null while it is open.</param>
public sealed record BatInLot(StreamName Bat, string ShortNumber, long Entry, LotStanding Standing, long? Ended, DateTimeOffset Recorded);

/// <summary>One lot of a sale: every bat that is or was offered under its number.</summary>
public sealed record LotLine(string Number, IReadOnlyList<BatInLot> Bats)
{
    public bool IsOpen => Bats.Any(b => b.Standing == LotStanding.Offered);

    public LotStanding Standing => IsOpen ? LotStanding.Offered : Bats[^1].Standing;

    /// <summary>Those open to bids.</summary>
    public IEnumerable<BatInLot> Open => Bats.Where(b => b.Standing == LotStanding.Offered);

    /// <summary>When anything last happened to one of its bats.</summary>
    public DateTimeOffset Recorded => Bats.Max(b => b.Recorded);

    /// <summary>The lots of a sale in their order, from the kept states of the bats that stood in it.</summary>
    internal static IReadOnlyList<LotLine> Of(StreamName sale, IEnumerable<Bat> bats) =>
    [
        .. bats.Where(b => b.Registration is not null).SelectMany(b => In(sale, b)).GroupBy(b => b.Number, b => b.Bat, StringComparer.Ordinal)
            // A bat may come under its number again: then the last time counts.
            .Select(l => new LotLine(l.Key, [.. l.GroupBy(b => b.Bat).Select(b => b.MaxBy(x => x.Entry)!).OrderBy(b => b.Entry).ThenBy(b => b.Bat.ToString(), StringComparer.Ordinal)]))
            .OrderBy(l => l.Number, LotNumbers.InOrder),
    ];

    static IEnumerable<(string Number, BatInLot Bat)> In(StreamName sale, Bat bat)
    {
        List<KeyValuePair<long, Lot>> own = [.. bat.Lots.ByEntry.Where(l => l.Value.Terms.Stream == sale)];
        foreach (var (n, lot) in own)
        {
            // Taken out and offered again in the same sale: it has another number now, and nothing ever came up under this one.
            if (lot.Standing == LotStanding.Reoffered && lot.Steps.Values.Skip(1).First() == LotStanding.Withdrawn && own.Any(l => l.Key > n)) continue;
            var last = lot.Steps.Last(s => s.Value != LotStanding.Reoffered);
            yield return (lot.Number, new(StreamName.Parse(bat.Id), bat.Registration!.ShortNumber, n, last.Value, last.Value == LotStanding.Offered ? null : last.Key, bat.Recorded));
        }
    }
}

/// <summary>One bat of a lot with everything recorded of it.</summary>
/// <param name="Sale">How it was sold out of this lot, whatever became of it; null when it was not.</param>
public sealed record LotOnBat(History History, Reading Reading, LotRead Lot, SaleRead? Sale)
{
    public string Number => Reading.State.Registration!.ShortNumber;

    public StreamName Stream => StreamName.Parse(Reading.State.Id);

    /// <summary>Its sale out of this lot, while that stands.</summary>
    public SaleRead? Sold => Sale is { Standing: SaleStanding.Agreed or SaleStanding.TitlePassed } ? Sale : null;

    /// <summary>The text as it stands now.</summary>
    public string? Text => Lot.TextNow;

    /// <summary>The interests as they are declared now.</summary>
    public IReadOnlyList<Interest> Interests => Lot.Notices.LastOrDefault(n => n.Interests is not null)?.Interests ?? Lot.Interests;

    public Custody.Evidence.Money? Low => Lot.Notices.LastOrDefault(n => n.LowEstimate is not null)?.LowEstimate ?? Lot.LowEstimate;

    public Custody.Evidence.Money? High => Lot.Notices.LastOrDefault(n => n.HighEstimate is not null)?.HighEstimate ?? Lot.HighEstimate;

    /// <summary>What it may not go below, as last said; null when nothing is.</summary>
    public Custody.Evidence.Money? Reserve => Reading.Entries.Where(e => !e.IsVoid).Select(e => e.Fact).OfType<LotAmended>().LastOrDefault(a => a.Lot == Lot.Entry && a.Reserve?.Value is not null)?.Reserve?.Value
        ?? Reading.Entries[(int)Lot.Entry - 1].Fact switch { LotOffered o => o.Reserve?.Value, LotReoffered o => o.Reserve?.Value, _ => null };

    /// <summary>The highest bid when it passed; null when there was none, or it did not pass.</summary>
    public Custody.Evidence.Money? HighestBid => Result is { } n && Reading.Entries[(int)n - 1].Fact is LotPassed passed ? passed.HighestBid?.Value : null;

    /// <summary>The paddle it was sold to; null when not said, or not sold.</summary>
    public string? Paddle => Sale is { } sale && Reading.Entries[(int)sale.Entry - 1].Fact is BatSold sold ? sold.Paddle?.Value : null;

    /// <summary>Entry that ended the lot, as a result that can be taken back: sold and not yet paid through, passed, or withdrawn.</summary>
    public long? Result => Lot.Steps is [.., { Standing: LotStanding.Sold or LotStanding.Passed or LotStanding.Withdrawn } last] ? last.Entry : null;

    /// <summary>The present opinions as they stood just before the lot ended; null while it is open.</summary>
    public BatSheet? AtTheHammer => Lot.Told is { } told ? History.UpTo(told.AsOf - 1).Sheet() : null;
}

/// <summary>One lot with everything recorded of its bats.</summary>
public sealed record SaleLot(LotLine Line, IReadOnlyList<LotOnBat> Bats)
{
    public string Number => Line.Number;
}
