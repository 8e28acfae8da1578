using Custody.Server.Database;
using Custody.Server.Recording;
using Marten;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;

namespace Custody.Benchmarks;

/// <summary>A ledger on a private PostgreSQL in a temporary folder: what the server uses, without the web. Durable: every commit is flushed.</summary>
sealed class Bench : IAsyncDisposable
{
    readonly string folder;
    readonly IPostgresHandle postgres;
    readonly ServiceProvider services;

    Bench(string folder, IPostgresHandle postgres, LedgerPlace place, ServiceProvider services) =>
        (this.folder, this.postgres, Place, this.services) = (folder, postgres, place, services);

    public LedgerPlace Place { get; }
    public string Postgres => postgres.Description;
    public NpgsqlDataSource Database => Get<NpgsqlDataSource>();
    public Recorder Recorder => Get<Recorder>();

    /// <summary>The bats that the writers go on with.</summary>
    public Writers Writers { get; private set; } = null!;

    public void Set(Writers writers) => Writers = writers;

    public T Get<T>() where T : notnull => services.GetRequiredService<T>();

    public static async Task<Bench> Open(CancellationToken ct)
    {
        var folder = Directory.CreateTempSubdirectory("custody-benchmarks-").FullName;
        // As root the cluster belongs to PostgreSQL's own user, who must get through to it.
        if (!OperatingSystem.IsWindows())
            File.SetUnixFileMode(folder, File.GetUnixFileMode(folder) | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute);
        // Never a given server: what is measured is this machine, and everything is thrown away afterwards.
        var options = PostgresOptions.FromEnvironment(Environment.GetEnvironmentVariable) with { ConnectionString = null };
        var postgres = await PostgresServer.OpenAsync(Path.Combine(folder, "postgres"), options, new Progress<string>(Console.Error.WriteLine), ct);
        var place = new LedgerPlace("ledger.example", postgres.ConnectionString, Path.Combine(folder, "ledger"));
        Directory.CreateDirectory(place.DataFolder);
        var services = Services(place);
        await services.PrepareDatabase(ct);
        return new Bench(folder, postgres, place, services);
    }

    public static ServiceProvider Services(LedgerPlace place)
    {
        ServiceCollection services = new();
        services.AddLogging();
        services.AddSingleton(TimeProvider.System);
        services.AddLedger(place);
        return services.BuildServiceProvider();
    }

    public async Task Run(string sql, CancellationToken ct)
    {
        await using var command = Database.CreateCommand(sql);
        command.CommandTimeout = 600;
        await command.ExecuteNonQueryAsync(ct);
    }

    public async Task<T> Scalar<T>(string sql, CancellationToken ct)
    {
        await using var command = Database.CreateCommand(sql);
        command.CommandTimeout = 600;
        return (T)(await command.ExecuteScalarAsync(ct))!;
    }

    public async ValueTask DisposeAsync()
    {
        await services.DisposeAsync();
        await postgres.DisposeAsync();
        Directory.Delete(folder, recursive: true);
    }
}
