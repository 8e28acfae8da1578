namespace Custody.Drills;

/// <summary>Where a drill works: a new folder, and never anybody's ledger.</summary>
sealed class DrillFolder
{
    readonly DirectoryInfo? temporary;

    DrillFolder(DirectoryInfo? temporary, string data) => (this.temporary, Data) = (temporary, data);

    public string Data { get; }

    /// <summary>The folder named, or a temporary one; null, and said why, when there is something in it.</summary>
    public static async Task<DrillFolder?> Open(string? named)
    {
        var temporary = named is null ? Directory.CreateTempSubdirectory("custody-drill-") : null;
        // Enterable, so that PostgreSQL's own user reaches its cluster where this runs as root.
        if (temporary is not null && !OperatingSystem.IsWindows()) temporary.UnixFileMode |= UnixFileMode.GroupExecute | UnixFileMode.OtherExecute;
        var data = temporary is null ? named! : Path.Combine(temporary.FullName, "data");
        if (!Directory.Exists(data) || !Directory.EnumerateFileSystemEntries(data).Any()) return new(temporary, data);
        await Console.Error.WriteLineAsync($"{data} is not empty. A drill never works on anybody's ledger: name a new folder.");
        return null;
    }

    /// <summary>Does the work within its time. Whatever went wrong, the folder stays to be looked at; all well, a temporary one goes.</summary>
    /// <returns>The exit code.</returns>
    public async Task<int> Within(TimeSpan longest, Func<CancellationToken, Task<bool>> work, CancellationToken ct)
    {
        using var limited = CancellationTokenSource.CreateLinkedTokenSource(ct);
        limited.CancelAfter(longest);
        try
        {
            if (!await work(limited.Token)) return 1;
            temporary?.Delete(recursive: true);
            return 0;
        }
        catch (OperationCanceledException) when (!ct.IsCancellationRequested)
        {
            await Console.Error.WriteLineAsync($"The drill was not done after {longest.TotalMinutes:0} minutes. {Data} and the logs beside it stay.");
        }
        catch (DrillFault fault)
        {
            await Console.Error.WriteLineAsync($"{fault.Message} {Data} and the logs beside it stay.");
        }
        return 1;
    }
}
