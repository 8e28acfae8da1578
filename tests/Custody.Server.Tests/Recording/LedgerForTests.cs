using Custody.Bats;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Recording;

/// <summary>One ledger on a real database, without a web server: the services the acts use, and a clock the test moves.</summary>
public sealed class LedgerForTests : IAsyncDisposable
{
    readonly ServiceProvider services;

    LedgerForTests(ServiceProvider services, LedgerPlace place) => (this.services, Place) = (services, place);

    public LedgerPlace Place { get; }
    public FakeClock Clock => (FakeClock)services.GetRequiredService<TimeProvider>();
    public Recorder Recorder => services.GetRequiredService<Recorder>();

    public T Get<T>() where T : notnull => services.GetRequiredService<T>();

    public static async Task<LedgerForTests> Open(PostgresForTests postgres)
    {
        var place = new LedgerPlace("ledger.example", postgres.ConnectionString, Directory.CreateTempSubdirectory("custody-test-").FullName);
        ServiceCollection services = new();
        services.AddLogging();
        services.AddSingleton<TimeProvider>(new FakeClock());
        services.AddLedger(place);
        var built = services.BuildServiceProvider();
        await built.PrepareDatabase(CancellationToken.None);
        return new LedgerForTests(built, place);
    }

    public async ValueTask DisposeAsync()
    {
        await services.DisposeAsync();
        Directory.Delete(Place.DataFolder, recursive: true);
    }
}

/// <summary>A clock that stands still until the test moves it.</summary>
public sealed class FakeClock : TimeProvider
{
    public DateTimeOffset Now { get; set; } = new(2024, 3, 1, 9, 0, 0, TimeSpan.Zero);

    public override DateTimeOffset GetUtcNow() => Now;
}
