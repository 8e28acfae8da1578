using System.Text;
using Custody.Server.Configuring;
using Custody.Server.Log;
using Custody.Server.Private;
using Custody.Server.Recording;

namespace Custody.Server.BackingUp;

/// <summary>Once a backup was made, the server goes on copying what comes in outside the database (tiles, checkpoints, photographs, keys) beside the segments that
/// PostgreSQL archives itself, so that the two never drift far apart.</summary>
sealed partial class BackupFollower(LedgerPlace place, BackupStanding standing, ILogger<BackupFollower> log) : BackgroundService
{
    /// <summary>Keeps where to: first line the backup's folder, second the keys' or nothing.</summary>
    public static void Remember(string data, string to, string? keysTo) => Durable.Write(Destination(data), Encoding.UTF8.GetBytes($"{to}\n{keysTo}\n"));

    /// <summary>Whether a backup was ever made of this data folder.</summary>
    public static bool WasAsked(string data) => File.Exists(Destination(data));

    static string Destination(string data) => Path.Combine(data, "backup.destination");

    protected override async Task ExecuteAsync(CancellationToken stopping)
    {
        var seconds = Settings.BackupSeconds.Number(Environment.GetEnvironmentVariable);
        using var timer = new PeriodicTimer(TimeSpan.FromSeconds(seconds));
        try
        {
            do
            {
                try
                {
                    // One node at a time copies; another one's turn is as good as this one's.
                    using (var turn = NodeTurns.In(place.DataFolder).TryTake("backup"))
                        if (turn is not null) await Task.Run(() => Follow(place.DataFolder, stopping), stopping);
                    standing.Fault = null;
                }
                catch (Exception thrown) when (thrown is IOException or UnauthorizedAccessException)
                {
                    // A disk that was taken away comes back; until then health says so.
                    standing.Fault = "The backup's folder cannot be read or written.";
                    Failed(log, thrown);
                }
            }
            while (await timer.WaitForNextTickAsync(stopping));
        }
        catch (OperationCanceledException) when (stopping.IsCancellationRequested)
        {
            // Stopping: what is not copied yet is copied after the next start.
        }
    }

    /// <summary>Copies what is new since the last time, where a backup was made before.</summary>
    public static void Follow(string data, CancellationToken ct)
    {
        if (!File.Exists(Destination(data))) return;
        var lines = File.ReadAllLines(Destination(data));
        BackupFolder folder = new(lines[0]);
        // Never made here: a disk that is not mounted would be filled up under its mount point.
        if (!Directory.Exists(folder.Files)) throw new DirectoryNotFoundException($"{folder.Files} is not there.");
        FileCopies.Data(data, folder, ct);
        if (lines.Length > 1 && lines[1].Length > 0)
        {
            if (!Directory.Exists(lines[1])) throw new DirectoryNotFoundException("The folder for the keys is not there.");
            FileCopies.Keys(data, lines[1], ct);
        }
    }

    [LoggerMessage(1, LogLevel.Warning, "The files' backup failed")]
    static partial void Failed(ILogger log, Exception thrown);
}

/// <summary>How the copying of files goes on this node; null while it goes well or no backup was ever asked for.</summary>
public sealed class BackupStanding
{
    public string? Fault { get; set; }
}
