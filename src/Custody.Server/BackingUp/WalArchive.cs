using System.Globalization;
using Custody.Server.Database;
using Npgsql;

namespace Custody.Server.BackingUp;

/// <summary>Has the private cluster hand every finished segment of its write-ahead log to the backup (PostgreSQL manual, "Continuous Archiving"). The script
/// stands beside the cluster's settings and survives restarts; segments are closed once a minute at the latest, so a lost machine costs a minute.</summary>
static class WalArchive
{
    const int SegmentSeconds = 60;

    /// <summary>Turns it on for a running cluster, or to another folder.</summary>
    /// <exception cref="BackupFault">The cluster was started without archiving, or its user cannot write there.</exception>
    public static async Task TurnOn(PostgresFolder folder, BackupFolder to, string? user, NpgsqlConnection admin, CancellationToken ct)
    {
        if (await Ask(admin, "show archive_mode", ct) is "off")
            throw new BackupFault("archive-off", "The database was started by an earlier version, without archiving of its write-ahead log.", "Stop every program on this data folder, start the server once, then back up.");
        await RequireReach(to, user, folder, ct);
        var script = Path.Combine(folder.Home, "archive.sh");
        WriteShared(script, Script(to.Wal), executable: true);
        WriteShared(Path.Combine(folder.Home, ClusterSettings.ArchiveFile), string.Create(CultureInfo.InvariantCulture,
            $"# Written by 'backup'. Remove this file and restart to end archiving.\narchive_command = '/bin/sh \"{Escape(script)}\" \"%p\" \"%f\"'\narchive_timeout = {SegmentSeconds}\n"), executable: false);
        await Ask(admin, "select pg_reload_conf()", ct);
    }

    /// <summary>The same bytes under the same name are an answer that was lost; other bytes are another cluster's, and must not be written over.</summary>
    static string Script(string wal) =>
        $"""
        #!/bin/sh
        # Written by 'backup'. PostgreSQL calls it with the path and the name of a finished segment; 0 means it is safe.
        set -eu
        to='{wal.Replace("'", "'\\''", StringComparison.Ordinal)}'
        if [ -f "$to/$2" ]; then exec cmp -s "$1" "$to/$2"; fi
        cp "$1" "$to/.$2.new"
        sync "$to/.$2.new"
        mv "$to/.$2.new" "$to/$2"
        sync "$to"
        """.ReplaceLineEndings("\n") + "\n";

    // In a settings file a quote is doubled; in archive_command a percent sign too.
    static string Escape(string path) => path.Replace("'", "''", StringComparison.Ordinal).Replace("%", "%%", StringComparison.Ordinal);

    static async Task RequireReach(BackupFolder to, string? user, PostgresFolder folder, CancellationToken ct)
    {
        PostgresFolder.RequirePlainName(to.Wal);
        var may = await Command.RunAsync("/bin/sh", ["-c", "test -w \"$0\" && test -x \"$0\"", to.Wal], user, folder.Home, TimeSpan.FromSeconds(20), ct);
        if (!may.Ok) throw new BackupFault("backup-out-of-reach", $"PostgreSQL, which runs as {user ?? Environment.UserName}, cannot write into {to.Wal}.", "Choose a folder whose parents that user can enter.");
    }

    // A new file and a rename, readable for the cluster's user: see ClusterSettings.
    static void WriteShared(string path, string text, bool executable)
    {
        var fresh = path + ".new-" + Path.GetRandomFileName();
        File.WriteAllText(fresh, text);
        var mode = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead | UnixFileMode.OtherRead;
        if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(fresh, executable ? mode | UnixFileMode.UserExecute | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute : mode);
        File.Move(fresh, path, overwrite: true);
    }

    internal static async Task<string?> Ask(NpgsqlConnection connection, string sql, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        return Convert.ToString(await command.ExecuteScalarAsync(ct), CultureInfo.InvariantCulture);
    }
}
