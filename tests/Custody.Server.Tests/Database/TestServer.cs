using System.Security.Cryptography;
using System.Text;
using Custody.Server.Database;
using Custody.Server.Tests.Database;
using Npgsql;
using Testcontainers.PostgreSql;

[assembly: AssemblyFixture(typeof(TestServerEnd))]

namespace Custody.Server.Tests.Database;

/// <summary>
/// The one PostgreSQL that this test process shares: a container where an engine answers, otherwise a private cluster in
/// the folder for temporary files, without fsync (its data are thrown away). Neither to be had: the tests fail.
/// </summary>
sealed record TestServer(string AdminConnectionString, string Description, Func<Task> StopAsync)
{
    static readonly TimeSpan ContainerLimit = TimeSpan.FromMinutes(3);
    static readonly Lazy<Task<TestServer>> Started = new(StartAsync);

    public static Task<TestServer> SharedAsync() => Started.Value;

    public static Task StopIfStartedAsync() => Started.IsValueCreated && Started.Value.IsCompletedSuccessfully
        ? Started.Value.Result.StopAsync() : Task.CompletedTask;

    static async Task<TestServer> StartAsync()
    {
        var (container, why) = await TryContainerAsync();
        var server = container ?? await EmbeddedAsync(why);
        // Console is not shown by every runner; a diagnostic message is, and a test of its own says it once more.
        Console.WriteLine($"Tests run on {server.Description}");
        TestContext.Current.SendDiagnosticMessage("Tests run on {0}", server.Description);
        return server;
    }

    static async Task<(TestServer?, string)> TryContainerAsync()
    {
        var image = Environment.GetEnvironmentVariable("CUSTODY_TEST_IMAGE") ?? "postgres:17";
        var container = default(PostgreSqlContainer);
        try
        {
            using var limit = new CancellationTokenSource(ContainerLimit);
            container = new PostgreSqlBuilder(image).Build();
            await container.StartAsync(limit.Token);
            return (new(container.GetConnectionString(), $"a container of {image}", async () => await container.DisposeAsync()), "");
        }
        catch (Exception absent)
        {
            // No engine, no such image, or one that does not start: the reason stands beside what is used instead.
            if (container is not null) await container.DisposeAsync();
            return (null, $"no container: {absent.Message.Split('\n')[0]}");
        }
    }

    static async Task<TestServer> EmbeddedAsync(string whyNoContainer)
    {
        // One folder for each build of the tests: a run that was killed leaves its server to the next, which ends it.
        var name = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(AppContext.BaseDirectory + Environment.UserName)))[..12];
        var folder = Path.Combine(Path.GetTempPath(), $"custody-tests-{name}");
        var held = await OpenAsync(folder);
        return new(held.AdminConnectionString, $"{held.Description}, fsync off ({whyNoContainer})", async () =>
        {
            if (await held.StopAsync() == StopOutcome.Stopped) Delete(folder);
        });
    }

    static async Task<EmbeddedPostgres> OpenAsync(string folder)
    {
        var options = PostgresOptions.FromEnvironment(Environment.GetEnvironmentVariable) with { Durable = false };
        try
        {
            return await EmbeddedPostgres.StartOrAttachAsync(folder, options, new Progress<string>());
        }
        catch (DatabaseUnavailable damaged) when (damaged.Code is "start-failed" && Directory.Exists(folder))
        {
            // Without fsync a power cut ruins a cluster. Nothing in it is worth keeping.
            Delete(folder);
            return await EmbeddedPostgres.StartOrAttachAsync(folder, options, new Progress<string>());
        }
    }

    static void Delete(string folder)
    {
        var home = new DirectoryInfo(Path.Combine(folder, "postgres"));
        // As root, in a folder that others cannot enter, the cluster lies elsewhere and this is a link to it.
        if (home.ResolveLinkTarget(returnFinalTarget: true) is { Exists: true } elsewhere) Directory.Delete(elsewhere.FullName, recursive: true);
        Directory.Delete(folder, recursive: true);
    }
}

/// <summary>Stops the shared server when the last test is done, if any test started it.</summary>
public sealed class TestServerEnd : IAsyncDisposable
{
    public async ValueTask DisposeAsync()
    {
        NpgsqlConnection.ClearAllPools();
        await TestServer.StopIfStartedAsync();
    }
}
