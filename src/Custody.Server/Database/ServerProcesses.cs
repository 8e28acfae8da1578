using System.Diagnostics;
using System.Globalization;

namespace Custody.Server.Database;

/// <summary>
/// Which processes belong to a cluster. Command lines are what every user may read of every process, root in a container
/// included, so they decide: a postmaster names its data folder, its backends carry the cluster's name in their titles.
/// </summary>
static class ServerProcesses
{
    static readonly TimeSpan ListLimit = TimeSpan.FromSeconds(20);
    static readonly TimeSpan EndLimit = TimeSpan.FromSeconds(15);

    sealed record Seen(int Pid, int Parent, string CommandLine);

    /// <summary>
    /// Whether that process is this cluster's postmaster. A number left in a file proves nothing: it may be a stranger's by now,
    /// one of our own threads, or a dead process that nobody has collected.
    /// </summary>
    public static async Task<bool> IsPostmasterAsync(int pid, PostgresFolder folder, CancellationToken ct)
    {
        if (OperatingSystem.IsWindows()) return Process.GetProcesses().Any(p => p.Id == pid && p.ProcessName == "postgres");
        var line = Directory.Exists("/proc/self") ? CommandLine(pid) : (await ListAsync(ct)).FirstOrDefault(p => p.Pid == pid)?.CommandLine;
        return line is not null && line.Contains(folder.Data, StringComparison.Ordinal);
    }

    /// <summary>
    /// Ends what a killed postmaster left behind: backends that did not notice would still write to the cluster. The new
    /// postmaster refuses to start beside them. Throws <see cref="DatabaseUnavailable"/> if they do not end.
    /// </summary>
    public static async Task EndOrphansAsync(PostgresFolder folder, IProgress<string> progress, CancellationToken ct)
    {
        if (OperatingSystem.IsWindows()) return;
        var told = false;
        for (var since = Stopwatch.StartNew(); since.Elapsed < EndLimit; await Task.Delay(200, ct))
        {
            var left = await OrphansAsync(folder, ct);
            if (left.Count == 0) return;
            if (!told) progress.Report($"Ending {left.Count} processes that a killed PostgreSQL left behind.");
            told = true;
            // First the polite way (they roll back), after some seconds without being asked.
            foreach (var pid in left)
                await Command.RunAsync("kill", [since.Elapsed < EndLimit / 3 ? "-TERM" : "-KILL", pid.ToString(CultureInfo.InvariantCulture)], null, "/", ListLimit, ct);
        }
        throw new DatabaseUnavailable("old-server-left", $"Processes of an earlier PostgreSQL still hold {folder.Data} and do not end.",
            "End them (their titles begin with \"postgres: " + folder.ClusterName + "\") and start again.");
    }

    static async Task<List<int>> OrphansAsync(PostgresFolder folder, CancellationToken ct)
    {
        var all = await ListAsync(ct);
        // A backend whose parent is a living postgres is no orphan: it may belong to a cluster at the same path in another container.
        var postmasters = all.Where(p => p.CommandLine.Contains("postgres", StringComparison.Ordinal)).Select(p => p.Pid).ToHashSet();
        return [.. all.Where(p => p.CommandLine.StartsWith("postgres: " + folder.ClusterName, StringComparison.Ordinal) && !postmasters.Contains(p.Parent))
            .Select(p => p.Pid)];
    }

    static async Task<List<Seen>> ListAsync(CancellationToken ct)
    {
        if (Directory.Exists("/proc/self")) return [.. FromProc()];
        var listed = await Command.RunAsync("ps", ["-axo", "pid=,ppid=,command="], null, "/", ListLimit, ct);
        return [.. listed.Output.Split('\n').Select(line => line.Split(' ', 3, StringSplitOptions.RemoveEmptyEntries)).Where(part => part.Length == 3)
            .Select(part => new Seen(int.Parse(part[0], CultureInfo.InvariantCulture), int.Parse(part[1], CultureInfo.InvariantCulture), part[2].Trim()))];
    }

    static IEnumerable<Seen> FromProc()
    {
        foreach (var folder in Directory.EnumerateDirectories("/proc"))
        {
            if (!int.TryParse(Path.GetFileName(folder), CultureInfo.InvariantCulture, out var pid)) continue;
            if (CommandLine(pid) is { Length: > 0 } line && ReadProc($"{folder}/stat") is { } stat) yield return new(pid, ParentIn(stat), line);
        }
    }

    // proc(5): "pid (name) state ppid ..."; the name may hold spaces and brackets, so count from the last one.
    static int ParentIn(string stat) => int.Parse(stat[(stat.LastIndexOf(')') + 2)..].Split(' ')[1], CultureInfo.InvariantCulture);

    static string? CommandLine(int pid) => ReadProc($"/proc/{pid}/cmdline")?.Replace('\0', ' ');

    static string? ReadProc(string path)
    {
        try
        {
            return File.ReadAllText(path);
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            // It ended between being listed and being read, or hides itself: either way it is none of ours.
            return null;
        }
    }
}
