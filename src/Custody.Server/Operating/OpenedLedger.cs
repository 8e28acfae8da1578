using Custody.Server.Database;
using Custody.Server.Log;
using Custody.Server.Photographs;
using Custody.Server.Recording;

namespace Custody.Server.Operating;

/// <summary>A ledger opened for one command, without a web server: database, services, and a sequencer that works unless another process does.</summary>
sealed class OpenedLedger : IAsyncDisposable
{
    readonly IPostgresHandle postgres;
    readonly ServiceProvider services;

    OpenedLedger(IPostgresHandle postgres, ServiceProvider services) => (this.postgres, this.services) = (postgres, services);

    public T Get<T>() where T : notnull => services.GetRequiredService<T>();

    public static async Task<OpenedLedger> Open(DirectoryInfo data, CancellationToken ct, Passphrase? passphrase = null)
    {
        var postgres = await Serving.Postgres(data, ct);
        try
        {
            var services = Build(Serving.PlaceIn(data, postgres.ConnectionString), TimeProvider.System, passphrase);
            await services.PrepareDatabase(ct);
            await services.GetRequiredService<Sequencer>().StartAsync(ct);
            return new OpenedLedger(postgres, services);
        }
        catch
        {
            await postgres.DisposeAsync();
            throw;
        }
    }

    /// <summary>The services of one ledger.</summary>
    public static ServiceProvider Build(LedgerPlace place, TimeProvider clock, Passphrase? passphrase = null)
    {
        ServiceCollection services = new();
        // Standard output is the command's; what the services have to say goes to standard error.
        services.AddLogging(logging => logging.AddSimpleConsole().SetMinimumLevel(LogLevel.Warning).Services
            .Configure<Microsoft.Extensions.Logging.Console.ConsoleLoggerOptions>(o => o.LogToStandardErrorThreshold = LogLevel.Trace));
        services.AddSingleton(clock);
        services.AddLedger(place, passphrase);
        return services.BuildServiceProvider();
    }

    public async ValueTask DisposeAsync()
    {
        await services.GetRequiredService<Sequencer>().StopAsync(CancellationToken.None);
        await services.DisposeAsync();
        await postgres.DisposeAsync();
    }
}
