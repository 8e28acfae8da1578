using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Custody.Server.Database;

/// <summary>
/// Where a private cluster keeps what. The home is `postgres` in the data folder, or, when this runs as root and
/// PostgreSQL's own user could not enter that folder, a folder under /var/lib/custody to which `postgres` is a link.
/// </summary>
/// <remarks>
/// home/data is the cluster and home/run its socket, both 0700 and PostgreSQL's own. home/password (0600) and
/// home/custody.conf belong to whoever started it: as root, nothing is ever written into a folder another user owns,
/// except a file that is new.
/// </remarks>
sealed class PostgresFolder
{
    const string Elsewhere = "/var/lib/custody";
    const UnixFileMode Private = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute;
    const UnixFileMode Enterable = Private | UnixFileMode.GroupRead | UnixFileMode.GroupExecute | UnixFileMode.OtherRead | UnixFileMode.OtherExecute;

    PostgresFolder(string dataFolder, string home) => (DataFolder, Home) = (dataFolder, home);

    public string DataFolder { get; }
    public string Home { get; }
    public string Data => Path.Combine(Home, "data");
    public string Run => Path.Combine(Home, "run");
    public string Log => Path.Combine(Home, "log");
    public string LogFile => Path.Combine(Log, "server.log");
    public string Settings => Path.Combine(Home, "custody.conf");
    public string PasswordFile => Path.Combine(Home, "password");
    public string Binaries => Path.Combine(Home, "binaries");
    public string BusyFile => Path.Combine(DataFolder, "postgres.lock");
    public string InUseFile => Path.Combine(DataFolder, "postgres.in-use");
    public bool HasCluster => File.Exists(VersionFile);

    string VersionFile => Path.Combine(Data, "PG_VERSION");

    string Link => Path.Combine(DataFolder, "postgres");

    /// <summary>Processes show this name in their titles: how a server's leftovers are told from anybody else's.</summary>
    public string ClusterName => "custody-" + Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Home)))[..16];

    /// <summary>The major version the cluster was made by; null if there is no cluster.</summary>
    public int? MadeBy()
    {
        if (!HasCluster) return null;
        var text = File.ReadAllText(VersionFile).Trim();
        return int.TryParse(text, CultureInfo.InvariantCulture, out var major)
            ? major
            : throw new DatabaseUnavailable("cluster-damaged", $"{VersionFile} holds \"{text}\", which is no PostgreSQL version.",
                "Put the data folder back from a backup.");
    }

    /// <summary>
    /// Throws <see cref="DatabaseUnavailable"/> (folder-name) for a path that PostgreSQL's pg_ctl, which hands it to a shell
    /// between double quotes, would not take as it stands.
    /// </summary>
    public static void RequirePlainName(string path)
    {
        if (OperatingSystem.IsWindows() || path.IndexOfAny(['"', '$', '`', '\\', '\n', '\r']) < 0) return;
        throw new DatabaseUnavailable("folder-name", $"PostgreSQL cannot be started in a folder with such a name: {path}",
            "Choose a data folder whose path has no double quote, dollar sign, backquote, backslash or line break.");
    }

    /// <summary>Decides where the home is. <paramref name="dataFolder"/> must exist; nothing is made yet.</summary>
    public static PostgresFolder Locate(string dataFolder, bool asRoot)
    {
        var real = RealPath(Path.GetFullPath(dataFolder));
        RequirePlainName(real);
        var link = Path.Combine(real, "postgres");
        if (Directory.Exists(link)) return new(real, RealPath(link));
        return new(real, asRoot && !AnyoneCanEnter(real) ? Path.Combine(Elsewhere, Path.GetRandomFileName().Replace(".", "", StringComparison.Ordinal)) : link);
    }

    /// <summary>Makes the home and the folders that are PostgreSQL's own, or puts their owner and mode right.</summary>
    public async Task PrepareAsync(string? user, CancellationToken ct)
    {
        // A home with a cluster keeps the mode it has: it may be an ordinary user's, and this may be root.
        if (!HasCluster) MakeFolder(Home, user is null ? Private : Enterable);
        if (Home != Link && !Path.Exists(Link)) Directory.CreateSymbolicLink(Link, Home);
        foreach (var own in new[] { Run, Log }) await MakeOwnAsync(own, user, ct);
    }

    /// <summary>Makes a folder that only PostgreSQL's user (and root) can enter. The caller has checked that it is no link.</summary>
    public static async Task MakeOwnAsync(string path, string? user, CancellationToken ct)
    {
        if (Directory.Exists(path)) return;
        MakeFolder(path, Private);
        if (user is not null) await ServerUser.GiveAsync(path, user, ct);
    }

    /// <summary>Takes the home away. Only for one that this process has just made and that holds no cluster.</summary>
    public void Unmake()
    {
        if (Directory.Exists(Home)) Directory.Delete(Home, recursive: true);
        // A link whose target is gone is not a folder any more: File.Delete removes the link itself.
        if (Home != Link) File.Delete(Link);
    }

    static void MakeFolder(string path, UnixFileMode mode)
    {
        Directory.CreateDirectory(path);
        // Set after making: the creation mode is cut by the umask, and a umask of 077 would lock PostgreSQL out.
        if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(path, mode);
    }

    static bool AnyoneCanEnter(string path)
    {
        for (var at = new DirectoryInfo(path); at is not null; at = at.Parent)
        {
            if (!OperatingSystem.IsWindows() && (File.GetUnixFileMode(at.FullName) & UnixFileMode.OtherExecute) == 0) return false;
        }
        return true;
    }

    /// <summary>The path with every link in it followed: one cluster has one name, whichever way its folder was reached.</summary>
    public static string RealPath(string path)
    {
        var at = Path.GetPathRoot(path)!;
        foreach (var part in path[at.Length..].Split(Path.DirectorySeparatorChar, StringSplitOptions.RemoveEmptyEntries))
        {
            var next = new DirectoryInfo(Path.Combine(at, part));
            var target = next.ResolveLinkTarget(returnFinalTarget: true);
            at = target is null ? next.FullName : RealPath(target.FullName);
        }
        return at;
    }
}
