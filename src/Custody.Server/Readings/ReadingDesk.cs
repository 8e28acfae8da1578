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
        await bats.StreamOf(said, ct) is { } bat && await HistoryOf(bat, ct) is { Entries.Count: > 0 } history ? history : null;

    /// <summary>Readings of every bat in which this party has an alias, with that alias; null when there is no such party.</summary>
    public async Task<IReadOnlyList<(Reading Reading, Alias Alias)>?> BatsOf(PartyId party, CancellationToken ct)
    {
        await using (var session = store.QuerySession())
            if (await session.LoadAsync<PartyState>(party.ToString(), ct) is null) return null;
        List<(Reading, Alias)> found = [];
        foreach (var (stream, alias) in (await aliases.StreamsOf(party, ct)).Where(s => s.Stream.Kind == "bat"))
            found.Add(((await HistoryOf(stream, ct)).AsCorrected(), alias));
        return found;
    }

    /// <summary>Readings of every bat that stood in a lot of this sale; null when there is no such sale.</summary>
    public async Task<IReadOnlyList<Reading>?> BatsIn(StreamName sale, CancellationToken ct)
    {
        await using var session = store.QuerySession();
        if (await session.LoadAsync<Sale>(sale.ToString(), ct) is null) return null;
        var states = await session.QueryAsync<Bat>("where stood_in @> array[?::text] order by id", ct, sale.ToString());
        return await Readings(states, ct);
    }

    /// <summary>Readings of every bat on which something stands open, and of those weighed against a file out of which a source was taken. What of it is
    /// due depends on the day it is asked.</summary>
    public async Task<IReadOnlyList<Reading>> BatsWithWork(CancellationToken ct)
    {
        await using var session = store.QuerySession();
        string[] fallen =
        [
            .. await session.Query<HabitFile>().Where(f => f.HasWithdrawn).Select(f => f.Id).ToListAsync(ct),
            .. await session.Query<ComparisonFile>().Where(f => f.HasWithdrawn).Select(f => f.Id).ToListAsync(ct),
        ];
        return await Readings(await session.QueryAsync<Bat>("where waits or weighed_against && ?::text[] order by id", ct, (object)fallen), ct);
    }

    /// <summary>Readings of every bat whose opinions were weighed against this file.</summary>
    public async Task<IReadOnlyList<Reading>> BatsWeighedAgainst(StreamName file, CancellationToken ct)
    {
        await using var session = store.QuerySession();
        return await Readings(await session.QueryAsync<Bat>("where weighed_against @> array[?::text] order by id", ct, file.ToString()), ct);
    }

    /// <summary>Sources taken out of the files that this bat's opinions were weighed against.</summary>
    public async Task<IReadOnlyList<FileWithdrawal>> WithdrawalsUnder(Reading reading, CancellationToken ct)
    {
        if (reading.State.WeighedAgainst is not { Count: > 0 } files) return [];
        await using var session = store.QuerySession();
        // Most files never lost a source, and reading a whole one is dear.
        var fallen = (await session.Query<HabitFile>().Where(f => f.HasWithdrawn && files.Contains(f.Id)).Select(f => f.Id).ToListAsync(ct))
            .Concat(await session.Query<ComparisonFile>().Where(f => f.HasWithdrawn && files.Contains(f.Id)).Select(f => f.Id).ToListAsync(ct));
        List<FileWithdrawal> found = [];
        foreach (var file in fallen.Order(StringComparer.Ordinal)) found.AddRange(FileWithdrawal.In(await histories.Open(StreamName.Parse(file), ct)));
        return found;
    }

    async Task<IReadOnlyList<Reading>> Readings(IEnumerable<Bat> states, CancellationToken ct)
    {
        List<Reading> found = [];
        foreach (var state in states) found.Add((await HistoryOf(StreamName.Parse(state.Id), ct)).AsCorrected());
        return found;
    }

    async Task<History> HistoryOf(StreamName stream, CancellationToken ct) => History.Of(await histories.Shown(stream, ct));
}
