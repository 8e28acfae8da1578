using System.Globalization;
using System.Text;

namespace Custody.Server.Database;

/// <summary>Starts and stops the server of a folder. Only to be used by whoever holds the folder's busy lock.</summary>
static class Postmaster
{
    const long LongLog = 20_000_000;
    static readonly TimeSpan StopLimit = TimeSpan.FromSeconds(90);

    /// <summary>Throws <see cref="DatabaseUnavailable"/> naming what the server's own log says is wrong.</summary>
    public static async Task StartAsync(
        PostgresFolder folder, PostgresBinaries binaries, string? user, ClusterSettings.Listening listening, PostgresOptions options,
        IProgress<string> progress, CancellationToken ct)
    {
        await ServerProcesses.EndOrphansAsync(folder, progress, ct);
        await RemoveStaleFileAsync(folder, ct);
        await RemoveStaleSocketLockAsync(folder, listening, ct);
        await ClusterSettings.WriteAsync(folder, listening, options, ct);
        await ClusterSettings.PrepareSocketFolderAsync(folder, listening, user, ct);
        var before = TurnLog(folder);

        progress.Report($"Starting PostgreSQL {binaries.Version} on {folder.Data}.");
        var limit = ((int)options.StartTimeout.TotalSeconds).ToString(CultureInfo.InvariantCulture);
        string[] arguments = ["start", "-D", folder.Data, "-l", folder.LogFile, "-w", "-t", limit, "-s"];
        // On Windows the server would inherit a captured output and keep this process waiting for its end.
        var done = await Command.RunAsync(binaries.Program("pg_ctl"), arguments, user, folder.Home,
            options.StartTimeout + TimeSpan.FromSeconds(10), ct, capture: !OperatingSystem.IsWindows());
        if (!done.Ok) throw Failed(folder, listening, LogSince(folder, before), done.Tail);
    }

    /// <summary>Lets running transactions be rolled back, writes everything out and waits for the end.</summary>
    public static async Task StopAsync(PostgresFolder folder, PostgresBinaries binaries, string? user, CancellationToken ct)
    {
        // One that was killed has left its file; the next start clears that up.
        if (PostmasterFile.Read(folder) is not { } file || !await ServerProcesses.IsPostmasterAsync(file.Pid, folder, ct)) return;
        string[] arguments = ["stop", "-D", folder.Data, "-m", "fast", "-w", "-t", ((int)StopLimit.TotalSeconds).ToString(CultureInfo.InvariantCulture), "-s"];
        var done = await Command.RunAsync(binaries.Program("pg_ctl"), arguments, user, folder.Home, StopLimit + TimeSpan.FromSeconds(10), ct,
            capture: !OperatingSystem.IsWindows());
        if (!done.Ok && PostmasterFile.Read(folder) is not null)
            throw new DatabaseUnavailable("server-not-stopping", $"The PostgreSQL of {folder.Data} did not stop: {done.Tail}", $"{folder.LogFile} says why.");
    }

    // PostgreSQL believes the file if any process has that number. After a restart of the machine or container that may be
    // anybody, even a thread of ours; and a copied folder brings the original's file along.
    static async Task RemoveStaleFileAsync(PostgresFolder folder, CancellationToken ct)
    {
        if (PostmasterFile.Read(folder) is { } left && !await ServerProcesses.IsPostmasterAsync(left.Pid, folder, ct))
            File.Delete(PostmasterFile.PathIn(folder));
    }

    // The lock beside the socket names the process that made it, and PostgreSQL believes that one too for as long as any process has the number: also a killed
    // postmaster that nobody has collected. The socket's folder is this cluster's alone.
    static async Task RemoveStaleSocketLockAsync(PostgresFolder folder, ClusterSettings.Listening listening, CancellationToken ct)
    {
        if (listening.SocketFolder.Length == 0) return;
        var path = Path.Combine(listening.SocketFolder, string.Create(CultureInfo.InvariantCulture, $".s.PGSQL.{listening.Port}.lock"));
        if (!File.Exists(path)) return;
        var first = (await File.ReadAllLinesAsync(path, ct)).FirstOrDefault();
        if (int.TryParse(first, NumberStyles.None, CultureInfo.InvariantCulture, out var pid) && await ServerProcesses.IsPostmasterAsync(pid, folder, ct)) return;
        File.Delete(path);
    }

    static long TurnLog(PostgresFolder folder)
    {
        if (!File.Exists(folder.LogFile)) return 0;
        var length = new FileInfo(folder.LogFile).Length;
        if (length < LongLog) return length;
        File.Move(folder.LogFile, folder.LogFile + ".1", overwrite: true);
        return 0;
    }

    static string LogSince(PostgresFolder folder, long from)
    {
        if (!File.Exists(folder.LogFile)) return "";
        using var log = new FileStream(folder.LogFile, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        log.Seek(from, SeekOrigin.Begin);
        using var text = new StreamReader(log, Encoding.UTF8);
        return text.ReadToEnd();
    }

    static DatabaseUnavailable Failed(PostgresFolder folder, ClusterSettings.Listening listening, string log, string said)
    {
        var tail = Text.Tail(log.Length > 0 ? log : said);
        bool Says(string words) => log.Contains(words, StringComparison.Ordinal);
        if (Says("No space left on device"))
            return new("disk-full", $"The disk is full: PostgreSQL cannot start on {folder.Data}:\n{tail}\n", "Free some space and start again; nothing recorded is lost.");
        if (Says("Address already in use")) return ClusterSettings.PortTaken(listening.Port, "address already in use");
        if (Says("database files are incompatible"))
            return new("wrong-major-version", $"PostgreSQL cannot open {folder.Data}:\n{tail}\n", "Use the version that made it; nothing was changed.");
        if (Says("already exists") || Says("still in use"))
            return new("folder-busy", $"Another PostgreSQL already works on {folder.Data}:\n{tail}\n", "Stop it, or choose another data folder.");
        return new("start-failed", $"PostgreSQL does not start on {folder.Data}:\n{tail}\n", $"Mend what it says ({folder.LogFile} has more) and start again.");
    }
}
