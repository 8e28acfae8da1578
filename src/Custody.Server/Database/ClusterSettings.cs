using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using System.Text;

namespace Custody.Server.Database;

/// <summary>Where the cluster listens, its password, and the settings file written before each start.</summary>
static class ClusterSettings
{
    const int SocketPort = 5432;

    /// <summary>Beside the settings file: where finished log segments go, written by `backup`.</summary>
    public const string ArchiveFile = "archive.conf";

    /// <summary>Beside the settings file while a cluster is brought back from a backup.</summary>
    public const string RecoveryFile = "recovery.conf";

    // sun_path of unix(7) holds 108 bytes with the closing zero; elsewhere 104.
    static int LongestSocketPath => OperatingSystem.IsLinux() ? 107 : 103;

    /// <summary>The folder a socket lies in and the number in its name, or an empty folder and a loopback port.</summary>
    public sealed record Listening(string SocketFolder, int Port);

    /// <summary>Throws <see cref="DatabaseUnavailable"/> (port-taken) before anything is made.</summary>
    public static Listening Choose(PostgresFolder folder, PostgresOptions options)
    {
        if (options.LoopbackPort is null && Socket.OSSupportsUnixDomainSockets && !OperatingSystem.IsWindows())
            return new(SocketFolder(folder), SocketPort);
        try
        {
            using var probe = new TcpListener(IPAddress.Loopback, options.LoopbackPort ?? 0);
            probe.Start();
            return new("", ((IPEndPoint)probe.LocalEndpoint).Port);
        }
        catch (SocketException taken)
        {
            throw PortTaken(options.LoopbackPort ?? 0, taken.Message);
        }
    }

    public static DatabaseUnavailable PortTaken(int port, string why) => new("port-taken",
        $"PostgreSQL cannot listen on port {port.ToString(CultureInfo.InvariantCulture)} of 127.0.0.1 ({why}).",
        "Stop the program that has it, or set CUSTODY_POSTGRES_PORT to another port, to 0 for any free one, or to nothing for a socket.");

    // A socket's path has a short limit, and a comma in it parts two folders in the setting: such a data folder gets its
    // socket in the folder for temporary files instead.
    static string SocketFolder(PostgresFolder folder)
    {
        var fits = Encoding.UTF8.GetByteCount($"{folder.Run}/.s.PGSQL.{SocketPort}") <= LongestSocketPath && !folder.Run.Contains(',', StringComparison.Ordinal);
        return fits ? folder.Run : Path.Combine(Path.GetTempPath(), folder.ClusterName);
    }

    /// <summary>Makes the socket's folder. One that is already there must be a real folder of the right owner.</summary>
    public static async Task PrepareSocketFolderAsync(PostgresFolder folder, Listening listening, string? user, CancellationToken ct)
    {
        if (listening.SocketFolder is "" || listening.SocketFolder == folder.Run) return;
        await PostgresFolder.MakeOwnAsync(listening.SocketFolder, user, ct);
        var owner = await ServerUser.OwnerOfAsync(listening.SocketFolder, ct);
        // Anybody may make a folder there first, and would then be handed our connections.
        if (new DirectoryInfo(listening.SocketFolder).LinkTarget is null && owner == (user ?? Environment.UserName)) return;
        throw new DatabaseUnavailable("socket-folder", $"{listening.SocketFolder}, where the database's socket should lie, belongs to {owner}.",
            "Remove it, or choose a data folder with a shorter path, or set CUSTODY_POSTGRES_PORT.");
    }

    public static async Task WriteAsync(PostgresFolder folder, Listening listening, PostgresOptions options, CancellationToken ct)
    {
        var lines = new List<string>
        {
            "# Written by Custody at every start. ALTER SYSTEM, or lines after the include in data/postgresql.conf, win over it.",
            $"port = {listening.Port.ToString(CultureInfo.InvariantCulture)}",
            $"listen_addresses = '{(listening.SocketFolder.Length == 0 ? "127.0.0.1" : "")}'",
            $"unix_socket_directories = '{listening.SocketFolder.Replace("'", "''", StringComparison.Ordinal)}'",
            "unix_socket_permissions = 0700",
            $"cluster_name = '{folder.ClusterName}'",
            // Two programs may share the folder, each with a pool of its own.
            "max_connections = 200",
            "timezone = 'UTC'", "log_timezone = 'UTC'", "log_line_prefix = '%m [%p] '", "lc_messages = 'C'",
        };
        // Archiving can be turned on without a restart only where this is set; until 'backup' names a folder, segments are let go.
        if (options.Durable && !OperatingSystem.IsWindows())
            lines.AddRange(["archive_mode = on", "archive_command = 'exit 0'", $"include_if_exists = '{ArchiveFile}'", $"include_if_exists = '{RecoveryFile}'"]);
        if (!options.Durable) lines.AddRange(["fsync = off", "synchronous_commit = off", "full_page_writes = off"]);
        // A new file and a rename: as root, an existing file in somebody else's folder might be a link to anywhere.
        var fresh = folder.Settings + ".new-" + Path.GetRandomFileName();
        await File.WriteAllLinesAsync(fresh, lines, ct);
        if (!OperatingSystem.IsWindows())
            File.SetUnixFileMode(fresh, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead | UnixFileMode.OtherRead);
        File.Move(fresh, folder.Settings, overwrite: true);
    }

    /// <summary>The password of both roles, kept beside the cluster.</summary>
    public static string Password(PostgresFolder folder) =>
        File.Exists(folder.PasswordFile)
            ? File.ReadAllText(folder.PasswordFile).Trim()
            : throw new DatabaseUnavailable("password-missing",
                $"The cluster in {folder.Data} is there, but its password file {folder.PasswordFile} is not.",
                "Put the file back from a backup; it belongs to the cluster and is backed up with it.");

    /// <summary>256 random bits for a cluster about to be made; whatever an earlier attempt left is replaced.</summary>
    public static string NewPassword(PostgresFolder folder)
    {
        var password = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(32));
        var fresh = folder.PasswordFile + ".new-" + Path.GetRandomFileName();
        WritePrivate(fresh, password);
        File.Move(fresh, folder.PasswordFile, overwrite: true);
        return password;
    }

    /// <summary>A new file that only its owner can read from its first byte on. Fails if there is one.</summary>
    public static void WritePrivate(string path, string text)
    {
        var how = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows()) how.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        using var file = new FileStream(path, how);
        file.Write(Encoding.ASCII.GetBytes(text));
        file.Flush(flushToDisk: true);
    }
}
