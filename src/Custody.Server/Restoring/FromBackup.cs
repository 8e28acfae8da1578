using System.Globalization;
using System.Text;
using Custody.Server.BackingUp;
using Custody.Server.Database;
using Custody.Server.Log;
using Custody.Transparency;

namespace Custody.Server.Restoring;

/// <summary>What was asked to be brought back.</summary>
/// <param name="From">The backup's folder.</param>
/// <param name="Keys">The keys' folder, kept apart.</param>
/// <param name="Data">The data folder to make; absent or empty.</param>
/// <param name="Until">The moment to go back to; null: as far as the archive goes.</param>
/// <param name="Logs">Further copies of the log's folder: the lost machine's own, or what a follower saved. What they have more is taken.</param>
sealed record RestoreWish(string From, string Keys, string Data, DateTimeOffset? Until, IReadOnlyList<string> Logs);

/// <summary>What was brought back.</summary>
/// <param name="Base">Folder of the base backup used; null where the database is somebody else's to restore.</param>
/// <param name="KeysLeftOut">Keys that the copy still held and that had been destroyed.</param>
sealed record BroughtBack(string? Base, int KeysLeftOut);

/// <summary>Makes a data folder out of a backup and the keys. The log's folder never goes back in time with the database: it is what the database is held
/// against. What is made stays closed until somebody outside was asked (<see cref="Confirming"/>): a copy can be as old as the log beside it.</summary>
static class FromBackup
{
    static readonly TimeSpan Longest = TimeSpan.FromHours(12);

    /// <exception cref="BackupFault">It cannot be done so; what was made until then lies in the new data folder, which may be removed.</exception>
    public static async Task<BroughtBack> Run(RestoreWish wish, PostgresOptions options, IProgress<string> progress, CancellationToken ct)
    {
        BackupFolder from = new(Path.GetFullPath(wish.From));
        if (!Directory.Exists(from.Files)) throw new BackupFault("no-backup", $"{from.Root} is no backup.", "Name the folder that was given to 'backup --to'.");
        if (!File.Exists(Path.Combine(wish.Keys, "values", "ring"))) throw new BackupFault("no-keys", $"{wish.Keys} holds no keys.", "Name the folder that was given to 'backup --keys-to'.");
        if (Directory.Exists(wish.Data) && Directory.EnumerateFileSystemEntries(wish.Data).Any())
            throw new BackupFault("data-not-empty", $"{wish.Data} is not empty.", "Restore into a new folder; nothing is ever written over.");
        (string Folder, BaseInfo Info)? chosen = options.ConnectionString is not null ? null
            : BaseBackup.Newest(from, wish.Until) ?? throw new BackupFault("no-base", $"{from.Bases} has no base backup that was finished by then.", "Choose a later moment, or another backup.");
        Directory.CreateDirectory(wish.Data);
        // First: whatever is broken off after this, nothing can be recorded here unasked.
        Durable.Write(Path.Combine(wish.Data, "log", Checkpoints.UnconfirmedName), Encoding.UTF8.GetBytes($"brought back from {from.Root}\n"));
        DurableCopy.Folder(from.Files, wish.Data, _ => false, ct);
        foreach (var log in wish.Logs) Merge(log, Path.Combine(wish.Data, "log"), ct);
        var leftOut = FileCopies.BringKeys(Path.GetFullPath(wish.Keys), wish.Data, from, ct);
        if (chosen is not { } made) return new(null, leftOut);
        await Recover(made.Folder, from, wish, options, progress, ct);
        return new(made.Folder, leftOut);
    }

    /// <summary>Takes what another copy of the log has and this one has not. Of two checkpoints the larger stays: whether the tiles give its root is looked at by every start.</summary>
    static void Merge(string other, string log, CancellationToken ct)
    {
        if (!Directory.Exists(other)) throw new BackupFault("no-log", $"There is no folder {other}.", "Name a folder with the log's tiles and checkpoint.");
        DurableCopy.Folder(other, log, name => name is "checkpoint" or Checkpoints.UnconfirmedName || File.Exists(Path.Combine(log, name)), ct);
        if (SizeOf(Path.Combine(other, "checkpoint")) is { } size && !(size <= SizeOf(Path.Combine(log, "checkpoint"))))
            Durable.Write(Path.Combine(log, "checkpoint"), File.ReadAllBytes(Path.Combine(other, "checkpoint")));
    }

    static long? SizeOf(string path)
    {
        try
        {
            return File.Exists(path) ? Checkpoint.Read(SignedNote.Parse(File.ReadAllBytes(path))).Size : null;
        }
        catch (Malformed malformed)
        {
            throw new BackupFault("log-malformed", $"{path} is no checkpoint: {malformed.Sentence}", "Name another copy of the log's folder.");
        }
    }

    static async Task Recover(string baseFolder, BackupFolder from, RestoreWish wish, PostgresOptions options, IProgress<string> progress, CancellationToken ct)
    {
        var folder = PostgresFolder.Locate(wish.Data, ServerUser.IsRoot);
        var user = await ServerUser.ForAsync(folder, ct);
        await folder.PrepareAsync(user, ct);
        PostgresFolder.RequirePlainName(from.Wal);
        var may = await Command.RunAsync("/bin/sh", ["-c", "test -r \"$0\" && test -x \"$0\"", from.Wal], user, folder.Home, TimeSpan.FromSeconds(20), ct);
        if (!may.Ok) throw new BackupFault("backup-out-of-reach", $"PostgreSQL, which runs as {user ?? Environment.UserName}, cannot read {from.Wal}.", "Give it to that user, or copy the backup where it can be read.");
        await BaseBackup.LayOut(baseFolder, folder, user, ct);
        var settings = Path.Combine(folder.Home, ClusterSettings.RecoveryFile);
        await File.WriteAllTextAsync(settings, Settings(from, wish.Until), ct);
        if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(settings, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead | UnixFileMode.OtherRead);
        await File.WriteAllTextAsync(Path.Combine(folder.Data, "recovery.signal"), "", ct);
        if (user is not null) await ServerUser.GiveAsync(Path.Combine(folder.Data, "recovery.signal"), user, ct);
        try
        {
            await using var recovered = await EmbeddedPostgres.StartOrAttachAsync(wish.Data, options with { StartTimeout = Longest }, progress, ct);
        }
        // It may end while it starts or just after; what is said then differs, its log does not.
        catch (DatabaseUnavailable) when (File.Exists(folder.LogFile) && File.ReadAllText(folder.LogFile).Contains("recovery ended before configured recovery target", StringComparison.Ordinal))
        {
            throw new BackupFault("until-not-reached", "The archive ends before the moment asked for.", "Leave --until out: everything that the archive has comes back.");
        }
        File.Delete(settings);
    }

    // hot_standby off: the start ends when recovery has ended, and not before.
    static string Settings(BackupFolder from, DateTimeOffset? until)
    {
        var wal = from.Wal.Replace("'", "''", StringComparison.Ordinal).Replace("%", "%%", StringComparison.Ordinal);
        StringBuilder text = new();
        text.Append("# Written by 'restore from'; removed when recovery has ended.\n");
        text.Append(CultureInfo.InvariantCulture, $"restore_command = 'cp \"{wal}/%f\" \"%p\"'\nrecovery_target_timeline = 'latest'\nhot_standby = off\n");
        if (until is { } moment)
            text.Append(CultureInfo.InvariantCulture, $"recovery_target_time = '{moment.UtcDateTime:yyyy-MM-dd HH:mm:ss.ffffff}+00'\nrecovery_target_action = 'promote'\n");
        return text.ToString();
    }
}
