using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using Custody.Server.Database;
using Custody.Server.Log;
using Custody.Server.Private;
using Npgsql;

namespace Custody.Server.BackingUp;

/// <summary>What a base backup says of itself.</summary>
/// <param name="Finished">From here on the archive leads to every later moment.</param>
/// <param name="Major">Major version of PostgreSQL that made it and alone can open it.</param>
sealed record BaseInfo(DateTimeOffset Started, DateTimeOffset Finished, int Major);

/// <summary>A copy of the running cluster from which the archived log leads to any later moment (PostgreSQL manual, "Making a Base Backup Using the Low Level
/// API"). Not pg_basebackup: the packages that this program can fetch do not hold it, and one way for everybody is one that is tested.</summary>
static partial class BaseBackup
{
    const string InfoName = "base.json", ClusterName = "cluster", PasswordName = "password";

    // Contents that the manual says to leave out: the log of the running server, what is rebuilt at a start, and what is of one process.
    static readonly string[] Emptied = ["pg_wal", "pg_replslot", "pg_dynshmem", "pg_notify", "pg_serial", "pg_snapshots", "pg_stat_tmp", "pg_subtrans"];

    /// <returns>Its folder.</returns>
    /// <exception cref="BackupFault">Tablespaces outside the cluster, which this program never makes.</exception>
    public static async Task<string> Make(PostgresFolder folder, BackupFolder to, NpgsqlConnection admin, CancellationToken ct)
    {
        if (Directory.EnumerateFileSystemEntries(Path.Combine(folder.Data, "pg_tblspc")).Any())
            throw new BackupFault("tablespaces", "The cluster has tablespaces outside its folder, which Custody never makes.", "Back this cluster up with PostgreSQL's own tools.");
        var started = DateTimeOffset.UtcNow;
        var name = started.ToString("yyyyMMdd'T'HHmmss'Z'", CultureInfo.InvariantCulture);
        var (draft, done) = (Path.Combine(to.Bases, name + ".new"), Path.Combine(to.Bases, name));
        foreach (var left in Directory.EnumerateDirectories(to.Bases, "*.new")) Directory.Delete(left, recursive: true);
        OwnerOnly.Folder(draft);
        await WalArchive.Ask(admin, "select pg_backup_start('custody', true)", ct);
        var cluster = Path.Combine(draft, ClusterName);
        DurableCopy.Folder(folder.Data, cluster, LeftOut, ct);
        // Waits until the last segment needed is in the archive: without it the copy is worth nothing.
        await using (var stop = new NpgsqlCommand("select labelfile from pg_backup_stop(true)", admin) { CommandTimeout = 300 })
        {
            var label = (string)(await stop.ExecuteScalarAsync(ct))!;
            RequireFirstSegment(label, to);
            Durable.Write(Path.Combine(cluster, "backup_label"), Encoding.UTF8.GetBytes(label));
        }
        DurableCopy.File(folder.PasswordFile, Path.Combine(draft, PasswordName));
        Durable.Write(Path.Combine(draft, InfoName), JsonSerializer.SerializeToUtf8Bytes(new BaseInfo(started, DateTimeOffset.UtcNow, folder.MadeBy()!.Value)));
        // Renamed last: a folder without ".new" is whole.
        Directory.Move(draft, done);
        DurableCopy.Flush(to.Bases);
        return done;
    }

    // The server's word that it archived is about whatever command it had just then: the file itself is looked for.
    static void RequireFirstSegment(string label, BackupFolder to)
    {
        if (FirstSegment().Match(label) is { Success: true } first && File.Exists(Path.Combine(to.Wal, first.Groups[1].Value))) return;
        throw new BackupFault("archive-missing", "The segment of the write-ahead log that this base backup begins in is not in the archive.", "Back up again; if it stays so, postgres/log/server.log in the data folder says why archiving fails.");
    }

    [GeneratedRegex(@"^START WAL LOCATION: \S+ \(file ([0-9A-F]{24})\)", RegexOptions.Multiline)]
    private static partial Regex FirstSegment();

    static bool LeftOut(string name) => name is "postmaster.pid" or "postmaster.opts" or "recovery.signal" or "standby.signal" or "current_logfiles"
        || Emptied.Any(e => name.StartsWith(e + "/", StringComparison.Ordinal))
        || Path.GetFileName(name) is var last && (last.StartsWith("pgsql_tmp", StringComparison.Ordinal) || last == "pg_internal.init");

    /// <summary>The newest whole base backup that was finished by a moment; null when there is none.</summary>
    public static (string Folder, BaseInfo Info)? Newest(BackupFolder from, DateTimeOffset? until)
    {
        if (!Directory.Exists(from.Bases)) return null;
        foreach (var folder in Directory.EnumerateDirectories(from.Bases).Where(f => !f.EndsWith(".new", StringComparison.Ordinal)).OrderDescending(StringComparer.Ordinal))
        {
            if (Path.Combine(folder, InfoName) is var path && File.Exists(path) && JsonSerializer.Deserialize<BaseInfo>(File.ReadAllBytes(path)) is { } info
                && !(info.Finished > until)) return (folder, info);
        }
        return null;
    }

    /// <summary>Lays the copy into an empty home, ready to be recovered.</summary>
    public static async Task LayOut(string baseFolder, PostgresFolder into, string? user, CancellationToken ct)
    {
        DurableCopy.Folder(Path.Combine(baseFolder, ClusterName), into.Data, _ => false, ct);
        foreach (var emptied in Emptied.Append("pg_wal/archive_status")) OwnerOnly.Folder(Path.Combine(into.Data, emptied));
        ClusterSettings.WritePrivate(into.PasswordFile, await File.ReadAllTextAsync(Path.Combine(baseFolder, PasswordName), ct));
        if (user is null) return;
        var given = await Command.RunAsync("chown", ["-R", user + ":", into.Data], null, "/", TimeSpan.FromMinutes(10), ct);
        if (!given.Ok) throw new BackupFault("folder-unwritable", $"{into.Data} cannot be given to the user {user}.", "Choose a data folder on a file system that knows owners.");
    }
}
