namespace Custody.Server.Database;

/// <summary>
/// Two locks on a data folder, both held by the operating system for as long as a process lives, so that kill -9 lets go.
/// `postgres.lock` (exclusive) is held while somebody makes, starts or stops the cluster; `postgres.in-use` (shared) by
/// everybody who works on it, so that whoever finds nobody else there on leaving is the last one out.
/// </summary>
static class FolderLock
{
    static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(100);

    /// <summary>Waits for its turn. Throws <see cref="DatabaseUnavailable"/> (folder-busy) past the limit.</summary>
    public static async Task<FileStream> EnterAsync(PostgresFolder folder, TimeSpan limit, IProgress<string> progress, CancellationToken ct)
    {
        var told = false;
        for (var waited = TimeSpan.Zero; waited < limit; waited += Pause)
        {
            // Made anew each time: whoever held it may have failed and taken a folder of its own making away again.
            Directory.CreateDirectory(folder.DataFolder);
            if (TryOpen(folder.BusyFile, FileShare.None) is { } mine) return mine;
            if (!told) progress.Report($"Waiting: another process is starting or stopping PostgreSQL in {folder.DataFolder}.");
            told = true;
            await Task.Delay(Pause, ct);
        }
        throw new DatabaseUnavailable("folder-busy",
            $"Another process has been starting or stopping PostgreSQL in {folder.DataFolder} for {limit.TotalSeconds:0} seconds.",
            "Wait for it or end it, or choose another data folder.");
    }

    /// <summary>Says "I work on it". Only to be called by whoever holds the busy lock.</summary>
    public static FileStream Use(PostgresFolder folder) =>
        TryOpen(folder.InUseFile, FileShare.ReadWrite)
        ?? throw new IOException($"{folder.InUseFile} is held by a process that does not share it.");

    /// <summary>Whether nobody works on it. Only to be called by whoever holds the busy lock and has let go itself.</summary>
    public static bool NobodyUses(PostgresFolder folder)
    {
        using var all = TryOpen(folder.InUseFile, FileShare.None);
        return all is not null;
    }

    static FileStream? TryOpen(string path, FileShare share)
    {
        try
        {
            return new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, share, bufferSize: 1);
        }
        catch (IOException held) when (held.HResult is 11 or 35 or unchecked((int)0x80070020))
        {
            // EWOULDBLOCK of Linux and of macOS, ERROR_SHARING_VIOLATION of Windows: somebody else has it.
            return null;
        }
    }
}
