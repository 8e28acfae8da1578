using Custody.Server.Tests.Database;

namespace Custody.Server.Tests.Web;

/// <summary>A class fixture: one running server for all tests of a class that each bring their own parties and bats. A test that needs an empty ledger, or
/// stops what runs, starts its own.</summary>
public sealed class HouseForTests : IAsyncLifetime
{
    readonly PostgresForTests postgres = new();

    internal RunningHouse House { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        await postgres.InitializeAsync();
        House = await RunningHouse.Start(postgres.ConnectionString, CancellationToken.None);
    }

    public async ValueTask DisposeAsync()
    {
        await House.DisposeAsync();
        await postgres.DisposeAsync();
    }
}
