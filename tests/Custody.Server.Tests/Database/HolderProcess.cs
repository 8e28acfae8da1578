using System.Diagnostics;
using System.Globalization;
using Npgsql;

namespace Custody.Server.Tests.Database;

/// <summary>A second process that holds a database (see Holder), run as a given user, to be stopped or killed.</summary>
sealed class HolderProcess : IAsyncDisposable
{
    static readonly TimeSpan Limit = TimeSpan.FromSeconds(120);
    static readonly Lazy<string> Program = new(CopyProgram);

    readonly Process _process;
    readonly Task<string> _errors;

    HolderProcess(Process process) => (_process, _errors) = (process, process.StandardError.ReadToEndAsync());

    /// <summary>The postmaster's process number, once ready.</summary>
    public int PostmasterId { get; private set; }
    public string ConnectionString { get; private set; } = "";

    /// <summary>Starts it and waits until its database answers; fails with its own words if it does not.</summary>
    public static async Task<HolderProcess> ReadyAsync(TestFolder folder, params string[] more)
    {
        var holder = Start(folder, folder.Data, more);
        await holder.WaitUntilReadyAsync();
        return holder;
    }

    /// <summary>Starts it without waiting for anything.</summary>
    public static HolderProcess Start(TestFolder folder, string data, string[] more, string? path = null)
    {
        var start = new ProcessStartInfo(Environment.ProcessPath is { } host && Path.GetFileName(host) == "dotnet" ? host : Dotnet())
        {
            ArgumentList = { Program.Value, Holder.Verb, data },
            WorkingDirectory = "/",
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        foreach (var argument in more) start.ArgumentList.Add(argument);
        foreach (var name in start.Environment.Keys.Where(n => n.StartsWith("CUSTODY_", StringComparison.Ordinal)).ToList()) start.Environment.Remove(name);
        if (path is not null) start.Environment["PATH"] = path;
        if (folder.RunsAsAnother) start.UserName = folder.User;
        return new(Process.Start(start)!);
    }

    public async Task WaitUntilReadyAsync()
    {
        var said = (await _process.StandardOutput.ReadLineAsync().WaitAsync(Limit) ?? "").Split(' ', 3);
        Assert.True(said[0] == "ready", $"not ready: {(said[0] == "" ? await _errors : said[0])}");
        PostmasterId = int.Parse(said[1], CultureInfo.InvariantCulture);
        // No pooling: a pooled connection would outlive the server it was made to.
        ConnectionString = new NpgsqlConnectionStringBuilder(said[2]) { Pooling = false }.ConnectionString;
    }

    /// <summary>Asks it to give its database back; what came of it ("Stopped", "LeftRunning").</summary>
    public async Task<string> StopAsync()
    {
        await _process.StandardInput.WriteLineAsync("stop");
        var outcome = await _process.StandardOutput.ReadLineAsync().WaitAsync(Limit);
        await _process.WaitForExitAsync().WaitAsync(Limit);
        return outcome ?? await _errors;
    }

    /// <summary>kill -9.</summary>
    public async Task KillAsync()
    {
        _process.Kill();
        await _process.WaitForExitAsync().WaitAsync(Limit);
    }

    /// <summary>Waits for one that fails: its exit code and what it said.</summary>
    public async Task<(int ExitCode, string Errors)> FailedAsync()
    {
        await _process.WaitForExitAsync().WaitAsync(Limit);
        return (_process.ExitCode, await _errors);
    }

    public async Task<object?> AskAsync(string sql)
    {
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(sql, connection);
        return await command.ExecuteScalarAsync();
    }

    public async ValueTask DisposeAsync()
    {
        // A test that failed half way: ending its input makes the process stop its server, if nobody else uses it.
        if (!_process.HasExited)
        {
            _process.StandardInput.Close();
            await _process.WaitForExitAsync().WaitAsync(Limit);
        }
        _process.Dispose();
    }

    static string Dotnet() => Path.GetFullPath(Path.Combine(
        System.Runtime.InteropServices.RuntimeEnvironment.GetRuntimeDirectory(), "..", "..", "..", OperatingSystem.IsWindows() ? "dotnet.exe" : "dotnet"));

    // Copied to where every user may read it: the build may lie in a folder that only its owner can enter.
    static string CopyProgram()
    {
        var to = Directory.CreateTempSubdirectory("custody-holder-").FullName;
        TestFolder.OpenToAll(to);
        AppDomain.CurrentDomain.ProcessExit += (_, _) => Directory.Delete(to, recursive: true);
        var name = typeof(Holder).Assembly.GetName().Name!;
        // Without the list of dependencies the runtime takes the assemblies it finds beside the program.
        foreach (var file in Directory.GetFiles(AppContext.BaseDirectory, "*.dll").Append(Path.Combine(AppContext.BaseDirectory, name + ".runtimeconfig.json")))
        {
            var copy = Path.Combine(to, Path.GetFileName(file));
            File.Copy(file, copy);
            TestFolder.OpenToAll(copy);
        }
        return Path.Combine(to, name + ".dll");
    }
}
