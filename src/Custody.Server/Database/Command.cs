using System.Collections.Specialized;
using System.ComponentModel;
using System.Diagnostics;

namespace Custody.Server.Database;

/// <summary>What a finished program returned and wrote (both streams, in the order they arrived).</summary>
sealed record CommandResult(int ExitCode, string Output)
{
    public bool Ok => ExitCode == 0;

    /// <summary>The last lines, for a failure's sentence.</summary>
    public string Tail => Text.Tail(Output);
}

/// <summary>Runs a program to its end, within a limit, without this process's PostgreSQL settings or locale.</summary>
static class Command
{
    /// <summary>Throws <see cref="Win32Exception"/> if it cannot be started and <see cref="TimeoutException"/> past the limit.</summary>
    public static async Task<CommandResult> RunAsync(
        string program, IEnumerable<string> arguments, string? user, string home, TimeSpan limit, CancellationToken ct, bool capture = true)
    {
        // The work folder is "/": another user may be unable to enter ours, and PostgreSQL must not hold a folder busy.
        var start = new ProcessStartInfo(program, arguments)
        {
            WorkingDirectory = Path.GetPathRoot(Path.GetFullPath(home))!,
            RedirectStandardOutput = capture,
            RedirectStandardError = capture,
            RedirectStandardInput = true,
        };
        if (user is not null) start.UserName = user;
        Clean(start.EnvironmentVariables, home);

        using var process = new Process { StartInfo = start };
        var output = new System.Text.StringBuilder();
        void Take(string? line)
        {
            if (line is null) return;
            lock (output) output.Append(line).Append('\n');
        }
        process.OutputDataReceived += (_, e) => Take(e.Data);
        process.ErrorDataReceived += (_, e) => Take(e.Data);
        process.Start();
        process.StandardInput.Close();
        if (capture)
        {
            process.BeginOutputReadLine();
            process.BeginErrorReadLine();
        }
        await WaitAsync(process, program, limit, ct);
        lock (output) return new CommandResult(process.ExitCode, output.ToString());
    }

    static async Task WaitAsync(Process process, string program, TimeSpan limit, CancellationToken ct)
    {
        using var timed = CancellationTokenSource.CreateLinkedTokenSource(ct);
        timed.CancelAfter(limit);
        try
        {
            await process.WaitForExitAsync(timed.Token);
        }
        catch (OperationCanceledException)
        {
            if (!process.HasExited) process.Kill(entireProcessTree: true);
            ct.ThrowIfCancellationRequested();
            throw new TimeoutException($"{Path.GetFileName(program)} took longer than {limit.TotalSeconds:0} seconds.");
        }
    }

    static void Clean(StringDictionary environment, string home)
    {
        // PGPORT, PGDATA and the like would redirect a private cluster; messages are recognised in English only.
        foreach (var name in environment.Keys.Cast<string>().Where(n => n.StartsWith("PG", StringComparison.OrdinalIgnoreCase)).ToList())
            environment.Remove(name);
        environment["LC_ALL"] = "C";
        environment["TZ"] = "UTC";
        if (!OperatingSystem.IsWindows()) environment["HOME"] = home;
    }
}

static class Text
{
    public static string Tail(string text, int lines = 12) =>
        string.Join('\n', text.Split('\n', StringSplitOptions.RemoveEmptyEntries).TakeLast(lines));
}
