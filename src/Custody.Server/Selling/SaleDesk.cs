using Custody.Bats;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Marten;

namespace Custody.Server.Selling;

/// <summary>Finds sales and their lots for the house.</summary>
public sealed class SaleDesk(Histories histories, ReadingDesk readings, IDocumentStore store)
{
    /// <summary>A sale by its identifier; null when there is none.</summary>
    public async Task<SaleHead?> Head(string id, CancellationToken ct)
    {
        if (!StreamName.TryParse("sale/" + id, out var stream)) return null;
        await using var session = store.QuerySession();
        return await session.LoadAsync<Sale>(stream.ToString(), ct) is { } state ? SaleHead.Of(stream, state, await histories.Shown(stream, ct)) : null;
    }

    /// <summary>Every sale, the newest first.</summary>
    public async Task<IReadOnlyList<SaleHead>> Heads(CancellationToken ct)
    {
        List<SaleHead> found = [];
        foreach (var stream in (await histories.All("sale", ct)).Reverse())
            if (await Head(stream.Id, ct) is { } head) found.Add(head);
        return found;
    }

    /// <summary>The lots of a sale in their order: one question to the database, and no history opened. What a running sale needs at once.</summary>
    public async Task<IReadOnlyList<LotLine>> Lines(StreamName sale, CancellationToken ct)
    {
        await using var session = store.QuerySession();
        return LotLine.Of(sale, await session.QueryAsync<Bat>("where stood_in @> array[?::text] order by id", ct, sale.ToString()));
    }

    /// <summary>One lot with the histories of its bats.</summary>
    public async Task<SaleLot> Lot(LotLine line, CancellationToken ct)
    {
        List<LotOnBat> bats = [];
        foreach (var bat in line.Bats)
        {
            var history = (await readings.HistoryOf(bat.Bat.ToString(), ct))!;
            var reading = history.AsCorrected();
            var lots = reading.Lots();
            if (lots.Lots.FirstOrDefault(l => l.Entry == bat.Entry) is { } lot) bats.Add(new(history, reading, lot, lots.Sales.LastOrDefault(s => s.Lot == bat.Entry)));
        }
        return new(line, bats);
    }

    /// <summary>Bats that are consigned to be sold and stand in no sale, by number; the first hundred.</summary>
    public async Task<IReadOnlyList<string>> Waiting(CancellationToken ct)
    {
        await using var session = store.QuerySession();
        var bats = await session.QueryAsync<Bat>("where data->'consignments'->'byEntry' <> '{}'::jsonb order by id", ct);
        return [.. bats.Where(b => b.Registration is not null && b.Consignments.OpenFor(b.Title) is not null && b.Lots.Open is null && b.Sales.Agreed is null).Select(b => b.Registration!.ShortNumber).Take(100)];
    }
}
