using System.ComponentModel;

namespace Custody.Server.Database;

/// <summary>
/// A real PostgreSQL of this program's own: a durable cluster in the data folder, kept between runs. Several processes may
/// hold it at once; the last one out stops it. A process killed with -9 leaves the server running, and the next one attaches
/// to it; a server killed with -9 is started again by whoever holds it, and recovers from its own log.
/// </summary>
public sealed class EmbeddedPostgres : IPostgresHandle
{
    static readonly TimeSpan WatchEvery = TimeSpan.FromSeconds(1);

    readonly PostgresFolder _folder;
    readonly PostgresOptions _options;
    readonly IProgress<string> _progress;
    readonly CancellationTokenSource _watching = new();
    readonly Task _watch;
    FileStream? _inUse;
    volatile RunningServer _server;

    EmbeddedPostgres(PostgresFolder folder, PostgresOptions options, IProgress<string> progress, RunningServer server, FileStream inUse, string how)
    {
        // A server started again must listen where connection strings already given out say it does.
        (_folder, _options, _progress, _server, _inUse) = (folder, options with { LoopbackPort = LoopbackPortOf(server) }, progress, server, inUse);
        Description = $"PostgreSQL of its own in {folder.Data}, {how}";
        _watch = WatchAsync();
    }

    public string ConnectionString => _server.ConnectionString;
    public string Description { get; }

    /// <summary>The cluster's superuser, for its keeper and for tests. Holds a password: never print or log it.</summary>
    public string AdminConnectionString => _server.AdminConnectionString;

    /// <summary>The postmaster's process number, as of the last look.</summary>
    public int ProcessId => _server.Pid;

    /// <summary>
    /// Attaches to the server running on the folder, or starts it, making the cluster first if there is none.
    /// Throws <see cref="DatabaseUnavailable"/>; what this call had made by then is taken away again.
    /// </summary>
    public static async Task<EmbeddedPostgres> StartOrAttachAsync(
        string dataFolder, PostgresOptions options, IProgress<string> progress, CancellationToken ct = default)
    {
        var isNew = !Path.Exists(dataFolder);
        try
        {
            PostgresFolder.RequirePlainName(Path.GetFullPath(dataFolder));
            Directory.CreateDirectory(dataFolder);
            var folder = PostgresFolder.Locate(dataFolder, ServerUser.IsRoot);
            using var busy = await FolderLock.EnterAsync(folder, options.StartTimeout, progress, ct);
            var homeIsNew = !Path.Exists(folder.Home);
            try
            {
                return await OpenAsync(folder, options, progress, ct);
            }
            catch
            {
                TakeAway(folder, isNew, homeIsNew);
                throw;
            }
        }
        catch (Exception failed) when (Translate(failed, dataFolder) is { } named)
        {
            throw named;
        }
    }

    /// <inheritdoc/>
    public async Task<StopOutcome> StopAsync(CancellationToken ct = default)
    {
        await _watching.CancelAsync();
        await _watch;
        if (Interlocked.Exchange(ref _inUse, null) is not { } mine) return StopOutcome.LeftRunning;
        try
        {
            using var busy = await FolderLock.EnterAsync(_folder, _options.StartTimeout, _progress, ct);
            await mine.DisposeAsync();
            if (!await StopIfUnusedAsync(_folder, _options, _progress, ct)) return StopOutcome.LeftRunning;
            // A socket's folder outside the home lies among temporary files and is made again at the next start.
            if (_server.Host != _folder.Run && Path.IsPathRooted(_server.Host)) Directory.Delete(_server.Host, recursive: true);
            return StopOutcome.Stopped;
        }
        finally
        {
            await mine.DisposeAsync();
        }
    }

    public async ValueTask DisposeAsync()
    {
        await StopAsync();
        _watching.Dispose();
    }

    static async Task<EmbeddedPostgres> OpenAsync(PostgresFolder folder, PostgresOptions options, IProgress<string> progress, CancellationToken ct)
    {
        var (server, how) = await AttachOrStartAsync(folder, options, progress, ct);
        var inUse = FolderLock.Use(folder);
        try
        {
            await server.EnsureDatabaseAsync(ct);
            return new(folder, options, progress, server, inUse, how);
        }
        catch
        {
            await inUse.DisposeAsync();
            await StopIfUnusedAsync(folder, options, progress, CancellationToken.None);
            throw;
        }
    }

    static async Task<(RunningServer, string)> AttachOrStartAsync(
        PostgresFolder folder, PostgresOptions options, IProgress<string> progress, CancellationToken ct)
    {
        if (await RunningServer.TryAttachAsync(folder, options, ct) is { } running) return (running, "already running: attached to it");
        // What could keep us from working with the cluster is looked at before anything is made or started.
        if (folder.HasCluster) ClusterSettings.Password(folder);
        var listening = ClusterSettings.Choose(folder, options);
        var user = await ServerUser.ForAsync(folder, ct);
        // Before the search: a package fetched into a home that PostgreSQL's user cannot enter would be of no use to it.
        await folder.PrepareAsync(user, ct);
        var binaries = await PostgresBinaries.FindAsync(options, folder.MadeBy(), folder.Binaries, user, progress, ct);
        if (!folder.HasCluster) await NewCluster.MakeAsync(folder, binaries, user, options, progress, ct);
        await Postmaster.StartAsync(folder, binaries, user, listening, options, progress, ct);
        return await RunningServer.TryAttachAsync(folder, options, ct) is { } started
            ? (started, $"version {binaries.Version} from {binaries.Folder}")
            : throw new DatabaseUnavailable("start-failed", $"PostgreSQL started on {folder.Data} and ended at once.", $"{folder.LogFile} says why.");
    }

    static async Task<bool> StopIfUnusedAsync(PostgresFolder folder, PostgresOptions options, IProgress<string> progress, CancellationToken ct)
    {
        if (!FolderLock.NobodyUses(folder)) return false;
        var user = await ServerUser.ForAsync(folder, ct);
        var binaries = await PostgresBinaries.FindAsync(options, folder.MadeBy(), folder.Binaries, user, progress, ct);
        await Postmaster.StopAsync(folder, binaries, user, ct);
        return true;
    }

    // Holding the server means keeping it up: killed from outside, it is started again with the same address.
    async Task WatchAsync()
    {
        using var timer = new PeriodicTimer(WatchEvery);
        try
        {
            // A look begun is finished: a start broken off would leave a server that is neither running nor stopped.
            while (await timer.WaitForNextTickAsync(_watching.Token)) await LookAsync();
        }
        catch (OperationCanceledException)
        {
            // Stopping: nobody waits for the next look.
        }
    }

    async Task LookAsync()
    {
        try
        {
            if (await ServerProcesses.IsPostmasterAsync(_server.Pid, _folder, default)) return;
            using var busy = await FolderLock.EnterAsync(_folder, _options.StartTimeout, _progress, default);
            (_server, _) = await AttachOrStartAsync(_folder, _options, _progress, default);
            _progress.Report($"PostgreSQL had ended without being asked to and runs again (process {_server.Pid}).");
        }
        catch (Exception failed) when (Translate(failed, _folder.DataFolder) is { } named)
        {
            _progress.Report($"PostgreSQL ended and does not start again, trying on: {named.Message}");
        }
    }

    static int? LoopbackPortOf(RunningServer server) => Path.IsPathRooted(server.Host) ? null : server.Port;

    // Nothing half made: a home that this call made goes unless it has its cluster, and so does a data folder, if empty then.
    static void TakeAway(PostgresFolder folder, bool isNew, bool homeIsNew)
    {
        if (folder.HasCluster) return;
        if (homeIsNew) folder.Unmake();
        if (!isNew) return;
        File.Delete(folder.InUseFile);
        File.Delete(folder.BusyFile);
        if (!Directory.EnumerateFileSystemEntries(folder.DataFolder).Any()) Directory.Delete(folder.DataFolder);
    }

    static DatabaseUnavailable? Translate(Exception failed, string dataFolder) => failed switch
    {
        DatabaseUnavailable named => named,
        // ENOSPC of Linux and macOS, ERROR_DISK_FULL of Windows.
        IOException { HResult: 28 or unchecked((int)0x80070070) } => new("disk-full", $"The disk that holds {dataFolder} is full.",
            "Free some space or choose a data folder on another disk.", failed),
        UnauthorizedAccessException or IOException => new("folder-unwritable", $"The data folder {dataFolder} cannot be made or written to: {failed.Message}",
            "Give it to the user who starts the program, or choose another data folder.", failed),
        TimeoutException or Win32Exception => new("start-failed", $"PostgreSQL could not be started on {dataFolder}: {failed.Message}",
            "Mend what it says and start again.", failed),
        Npgsql.NpgsqlException => new("start-failed", $"PostgreSQL on {dataFolder} started and then failed: {failed.Message}",
            "Its log, postgres/log/server.log in the data folder, says why.", failed),
        _ => null,
    };
}
