using Custody.Bats;
using Custody.Server.Log;
using Custody.Server.Recording;
using Marten;

namespace Custody.Server.Operating.Demo;

/// <summary>One house's ledger in the demo: the services of the server without its pages, its sequencer running beside them.</summary>
sealed class DemoLedger : IAsyncDisposable
{
    readonly TimeProvider clock;
    ServiceProvider services;
    Sequencer sequencer;

    DemoLedger(DemoHouse house, LedgerPlace place, TimeProvider clock)
    {
        (Name, House, Place, this.clock) = (house.Name, house.Printed, place, clock);
        services = OpenedLedger.Build(Place, clock);
        sequencer = Get<Sequencer>();
    }

    /// <summary>The house's short name in the story's files.</summary>
    public string Name { get; }

    /// <summary>The house's name as its labels print it.</summary>
    public string House { get; }

    public LedgerPlace Place { get; }

    public T Get<T>() where T : notnull => services.GetRequiredService<T>();

    public static async Task<DemoLedger> Open(DemoHouse house, LedgerPlace place, TimeProvider clock, CancellationToken ct)
    {
        var ledger = new DemoLedger(house, place, clock);
        await ledger.services.PrepareDatabase(ct);
        await ledger.TakePresentKey(ct);
        await ledger.sequencer.StartAsync(ct);
        return ledger;
    }

    string Keys => Place.Folder("keys/log");

    /// <summary>Signs with the key that the ledger names. The sequencer must not run.</summary>
    async Task TakePresentKey(CancellationToken ct)
    {
        var own = (await Get<Histories>().All("ledger", ct))[0];
        await using var session = Get<IDocumentStore>().QuerySession();
        var state = await session.LoadAsync<LedgerState>(own.ToString(), ct);
        if (!KeyChange.Complete(Keys, state!.Key, state.NextKey)) return;
        await services.DisposeAsync();
        services = OpenedLedger.Build(Place, clock);
        sequencer = Get<Sequencer>();
    }

    /// <summary>The newest checkpoint once everything recorded so far is under it.</summary>
    public async Task<SignedCheckpoint> Published(CancellationToken ct)
    {
        var desk = Get<LogDesk>();
        var last = await Get<Histories>().Last(ct) ?? throw new DemoFault($"The ledger of {Name} is empty.");
        return await desk.Covering(last.Stream.ToString(), last.N, TimeSpan.FromSeconds(30), ct);
    }

    /// <summary>Changes the log's key by the note that the command carries. Nothing is sequenced in between: a checkpoint beyond the change
    /// counts only under the new key.</summary>
    public async Task<Outcome> ChangeKey(Func<string, Task<Outcome>> record, bool compromised, CancellationToken ct)
    {
        var newest = await Published(ct);
        await sequencer.StopAsync(ct);
        var outcome = await record(KeyChange.Prepare(Keys, Place.Origin, newest.Checkpoint, compromised));
        await TakePresentKey(ct);
        await sequencer.StartAsync(ct);
        return outcome;
    }

    public async ValueTask DisposeAsync()
    {
        await sequencer.StopAsync(CancellationToken.None);
        await services.DisposeAsync();
    }
}
