using Custody.Bats;
using Custody.Server.Log;
using Custody.Server.Recording;
using Marten;

namespace Custody.Server.Operating.Demo;

/// <summary>One house's ledger in the demo: the services of the server without its pages, its sequencer running beside them.</summary>
sealed class DemoLedger : IAsyncDisposable
{
    readonly ServiceProvider services;

    DemoLedger(DemoHouse house, LedgerPlace place, TimeProvider clock)
    {
        (Name, House, Place) = (house.Name, house.Printed, place);
        services = OpenedLedger.Build(Place, clock);
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
        await ledger.Get<Sequencer>().StartAsync(ct);
        return ledger;
    }

    /// <summary>The newest checkpoint once everything recorded so far is under it.</summary>
    public Task<SignedCheckpoint> Published(CancellationToken ct) => Get<KeyHandover>().Published(ct);

    /// <summary>Changes the log's key by the note that the command carries.</summary>
    public Task<Outcome> ChangeKey(Func<string, Task<Outcome>> record, bool compromised, CancellationToken ct) =>
        Get<KeyHandover>().Change(record, compromised, ct);

    public async ValueTask DisposeAsync()
    {
        await Get<Sequencer>().StopAsync(CancellationToken.None);
        await services.DisposeAsync();
    }
}
