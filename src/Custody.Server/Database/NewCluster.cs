namespace Custody.Server.Database;

/// <summary>Makes a cluster: wholly, or not at all.</summary>
static class NewCluster
{
    static readonly TimeSpan Limit = TimeSpan.FromMinutes(5);

    /// <summary>
    /// initdb into a folder with a name of its own, then one rename. A process killed in between leaves a folder that the next
    /// start removes; its initdb may still be running then and must not find its folder again, hence the random name.
    /// </summary>
    public static async Task MakeAsync(
        PostgresFolder folder, PostgresBinaries binaries, string? user, PostgresOptions options, IProgress<string> progress, CancellationToken ct)
    {
        RequireSpace(folder, options);
        RemoveLeftovers(folder);
        progress.Report($"Making a new PostgreSQL {binaries.Major} cluster in {folder.Data}.");
        var fresh = folder.Data + ".new-" + Path.GetRandomFileName();
        try
        {
            await PostgresFolder.MakeOwnAsync(fresh, user, ct);
            await InitialiseAsync(folder, binaries, user, options, fresh, ct);
            // Settings are read from beside the cluster, relative to it, so that the home can be moved as a whole.
            await File.AppendAllTextAsync(Path.Combine(fresh, "postgresql.conf"), "\ninclude = '../custody.conf'\n", ct);
            Directory.Move(fresh, folder.Data);
            if (options.Durable) await SyncAsync(folder, ct);
        }
        finally
        {
            if (Directory.Exists(fresh)) Directory.Delete(fresh, recursive: true);
        }
    }

    static async Task InitialiseAsync(
        PostgresFolder folder, PostgresBinaries binaries, string? user, PostgresOptions options, string fresh, CancellationToken ct)
    {
        var password = Path.Combine(folder.Run, "initial-password");
        File.Delete(password);
        ClusterSettings.WritePrivate(password, ClusterSettings.NewPassword(folder));
        try
        {
            if (user is not null) await ServerUser.GiveAsync(password, user, ct);
            List<string> arguments =
            [
                "-D", fresh, "-U", "postgres", $"--pwfile={password}", "--auth-local=scram-sha-256", "--auth-host=scram-sha-256",
                "--encoding=UTF8", "--data-checksums", .. Locale(binaries.Major),
            ];
            if (!options.Durable) arguments.Add("--no-sync");
            var made = await Command.RunAsync(binaries.Program("initdb"), arguments, user, folder.Home, Limit, ct);
            if (!made.Ok) throw Failed(folder, made);
        }
        finally
        {
            File.Delete(password);
        }
    }

    // Text sorts by code point everywhere; upper and lower case are Unicode's where the platform can tell them without its own tables.
    static string[] Locale(int major) =>
        major >= 17 ? ["--locale=C", "--locale-provider=builtin", "--builtin-locale=C.UTF-8"]
        : OperatingSystem.IsLinux() ? ["--locale=C", "--lc-ctype=C.UTF-8"]
        : ["--locale=C"];

    static void RequireSpace(PostgresFolder folder, PostgresOptions options)
    {
        var free = new DriveInfo(folder.Home).AvailableFreeSpace;
        if (free >= options.MinimumFreeBytes) return;
        throw new DatabaseUnavailable("disk-full",
            $"Only {free / 1_000_000} MB are free where {folder.Home} lies; a new database asks for {options.MinimumFreeBytes / 1_000_000} MB.",
            "Free some space or choose a data folder on another disk.");
    }

    static void RemoveLeftovers(PostgresFolder folder)
    {
        foreach (var old in Directory.GetDirectories(folder.Home, "data.new-*")) Directory.Delete(old, recursive: true);
    }

    // The rename itself must outlive a power cut before the first entry is recorded in what was renamed.
    static async Task SyncAsync(PostgresFolder folder, CancellationToken ct)
    {
        if (OperatingSystem.IsWindows()) return;
        await Command.RunAsync("sync", OperatingSystem.IsLinux() ? [folder.Home] : [], null, "/", Limit, ct);
    }

    static DatabaseUnavailable Failed(PostgresFolder folder, CommandResult made) =>
        made.Output.Contains("No space left on device", StringComparison.Ordinal)
            ? new("disk-full", $"The disk is full: initdb could not write the new cluster in {folder.Home}:\n{made.Tail}\n",
                "Free some space or choose a data folder on another disk. Nothing was kept.")
            : new("initdb-failed", $"PostgreSQL's initdb could not make the cluster in {folder.Home} (exit code {made.ExitCode}):\n{made.Tail}\n",
                "Mend what it says and start again. Nothing was kept.");
}
