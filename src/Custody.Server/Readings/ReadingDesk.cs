using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Recording;
using Marten;

namespace Custody.Server.Readings;

/// <summary>Reads histories for the house: names and texts shown as far as they have not been erased.</summary>
public sealed class ReadingDesk(BatFinder bats, Histories histories, AliasBook aliases, IDocumentStore store, TimeProvider clock)
{
    public DateTimeOffset Now => clock.GetUtcNow();

    /// <summary>The history of a bat by short number or stream name; null when there is none.</summary>
    public async Task<History?> HistoryOf(string said, CancellationToken ct) =>
        await bats.Find(said, ct) is { } bat ? await HistoryOf(StreamName.Parse(bat.Id), ct) : null;

    /// <summary>The history read at a moment; null when there is no such bat, or the ledger did not know it yet.</summary>
    public async Task<Reading?> Read(string said, Moment moment, CancellationToken ct)
    {
        if (await HistoryOf(said, ct) is not { } history) return null;
        var reading = moment.Recorded is { } time ? history.AsRecorded(time) : history.AsCorrected();
        return reading.Entries.Count == 0 ? null : reading;
    }

    /// <summary>Readings of every bat in which this party has an alias, with that alias.</summary>
    public async Task<IReadOnlyList<(Reading Reading, Alias Alias)>> BatsOf(PartyId party, CancellationToken ct)
    {
        List<(Reading, Alias)> found = [];
        foreach (var (stream, alias) in (await aliases.StreamsOf(party, ct)).Where(s => s.Stream.Kind == "bat"))
            found.Add(((await HistoryOf(stream, ct)).AsCorrected(), alias));
        return found;
    }

    /// <summary>Readings of every bat that stood in a lot of this sale.</summary>
    public async Task<IReadOnlyList<Reading>> BatsIn(StreamName sale, CancellationToken ct)
    {
        await using var session = store.QuerySession();
        // The expression is that of the index custody_bat_sales.
        var states = await session.QueryAsync<Bat>("where jsonb_path_query_array(data, '$.lots.byEntry.*.terms.stream') @> to_jsonb(?::text) order by id", ct, sale.ToString());
        return await Readings(states, ct);
    }

    /// <summary>Readings of every bat on which something stands open. What of it is due depends on the day it is asked.</summary>
    public async Task<IReadOnlyList<Reading>> BatsWithWork(CancellationToken ct)
    {
        await using var session = store.QuerySession();
        List<Bat> waiting = [];
        await foreach (var bat in session.Query<Bat>().OrderBy(b => b.Id).ToAsyncEnumerable(ct))
            if (Waits(bat)) waiting.Add(bat);
        return await Readings(waiting, ct);
    }

    static bool Waits(Bat bat) =>
        !bat.Corrections.Open.IsEmpty || bat.Keeping.InTransit is not null
        || bat.Keeping.Handovers.Values.Any(h => h.Purpose == HandoverPurpose.Loan && h.Standing == HandoverStanding.Received)
        || bat.Holds.ByEntry.Values.Any(h => !h.Lifted)
        || bat.Examinations.ByEntry.Any(e => !bat.Corrections.IsVoid(e.Key) && !bat.Corrections.Stands(e.Value.Closed))
        || bat.Sales.ByEntry.Values.Any(s => s.Standing == SaleStanding.Agreed)
        || MixUps.Open(bat).Any() || bat.Claims.OpenClaims.Any() || bat.Claims.OpenMissing.Any();

    async Task<IReadOnlyList<Reading>> Readings(IEnumerable<Bat> states, CancellationToken ct)
    {
        List<Reading> found = [];
        foreach (var state in states) found.Add((await HistoryOf(StreamName.Parse(state.Id), ct)).AsCorrected());
        return found;
    }

    async Task<History> HistoryOf(StreamName stream, CancellationToken ct) => History.Of(await histories.Shown(stream, ct));
}
