using System.Globalization;
using Custody.Server.Database;

namespace Custody.Server.Tests.Database;

/// <summary>
/// A process that holds a database until its input ends, so that tests can kill it or run two of them:
/// `hold-postgres DATA [--bin F] [--port N] [--min-free BYTES] [--no-installed] [--may-fetch]`.
/// Writes "ready PID CONNECTION" and, when told to stop, the outcome.
/// </summary>
static class Holder
{
    public const string Verb = "hold-postgres";

    public static async Task<int> RunAsync(string[] args)
    {
        var progress = new Said();
        try
        {
            await using var held = await EmbeddedPostgres.StartOrAttachAsync(args[1], Options(args), progress);
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"ready {held.ProcessId} {held.ConnectionString}"));
            await Console.In.ReadLineAsync();
            Console.WriteLine((await held.StopAsync()).ToString());
            return 0;
        }
        catch (DatabaseUnavailable failed)
        {
            await Console.Error.WriteLineAsync($"unavailable {failed.Code}: {failed.Message}");
            return DatabaseUnavailable.ExitCode;
        }
    }

    static PostgresOptions Options(string[] args) => new()
    {
        BinFolder = Value(args, "--bin"),
        LoopbackPort = Value(args, "--port") is { } port ? int.Parse(port, CultureInfo.InvariantCulture) : null,
        MinimumFreeBytes = Value(args, "--min-free") is { } bytes ? long.Parse(bytes, CultureInfo.InvariantCulture) : 200_000_000,
        InstallFolders = args.Contains("--no-installed") ? [] : new PostgresOptions().InstallFolders,
        MayFetch = args.Contains("--may-fetch"),
        StartTimeout = TimeSpan.FromSeconds(60),
    };

    static string? Value(string[] args, string name) => Array.IndexOf(args, name) is > 0 and var at ? args[at + 1] : null;

    sealed class Said : IProgress<string>
    {
        public void Report(string value) => Console.Error.WriteLine(value);
    }
}
