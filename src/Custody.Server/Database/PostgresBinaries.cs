using System.ComponentModel;
using System.Globalization;
using System.Text.RegularExpressions;

namespace Custody.Server.Database;

/// <summary>A folder with a PostgreSQL that runs here, and how it was come by.</summary>
public sealed partial record PostgresBinaries(string Folder, int Major, string Version, string Origin)
{
    /// <summary>The oldest major version this program is tested on.</summary>
    public const int OldestMajor = 15;

    static readonly string[] Programs = ["postgres", "initdb", "pg_ctl"];
    static readonly TimeSpan AskLimit = TimeSpan.FromSeconds(30);

    /// <summary>
    /// Looks, in this order, in the folder given (which must then do), on PATH, in the usual install folders, and among
    /// packages (fetched once into <paramref name="cacheFolder"/>).
    /// </summary>
    /// <param name="requiredMajor">The major version a cluster was made by; null for a new one.</param>
    /// <param name="user">The user PostgreSQL will run as; null for this process's own.</param>
    /// <exception cref="DatabaseUnavailable">binaries-folder, binaries-missing, wrong-major-version or a failed fetch.</exception>
    public static async Task<PostgresBinaries> FindAsync(
        PostgresOptions options, int? requiredMajor, string cacheFolder, string? user, IProgress<string> progress, CancellationToken ct = default)
    {
        if (options.BinFolder is { } given) return await GivenAsync(given, requiredMajor, user, ct);

        var passedOver = new List<string>();
        foreach (var (folder, origin) in Candidates(options))
        {
            var (found, reason) = await TryAsync(folder, origin, user, ct);
            if (found is not null && Fits(found.Major, requiredMajor)) return found;
            passedOver.Add(found is null ? $"{folder} ({reason})" : $"{folder} (version {found.Version})");
        }
        if (PostgresPackage.Suits(requiredMajor))
        {
            if (await PostgresPackage.FolderAsync(cacheFolder, options.MayFetch, progress, ct) is { } fetched)
                return (await TryAsync(fetched, "package", user, ct)) is ({ } found, _) ? found : throw DoesNotRun(fetched, user);
        }
        throw Missing(requiredMajor, passedOver, options.MayFetch);
    }

    /// <summary>The program's full path in this folder.</summary>
    public string Program(string name) => Path.Combine(Folder, name + Suffix);

    static string Suffix => OperatingSystem.IsWindows() ? ".exe" : "";

    static bool Fits(int major, int? required) => required is null ? major >= OldestMajor : major == required;

    static async Task<PostgresBinaries> GivenAsync(string folder, int? requiredMajor, string? user, CancellationToken ct)
    {
        var (found, reason) = await TryAsync(Path.GetFullPath(folder), "given folder", user, ct);
        if (found is null)
            throw new DatabaseUnavailable("binaries-folder", $"CUSTODY_POSTGRES_BIN names {folder}, which is no PostgreSQL to run: {reason}.",
                "Name the folder that holds postgres, initdb and pg_ctl, or unset it to have one looked for.");
        if (Fits(found.Major, requiredMajor)) return found;
        throw requiredMajor is { } made
            ? WrongMajor(made, $"{folder} (version {found.Version})")
            : new DatabaseUnavailable("binaries-too-old",
                $"CUSTODY_POSTGRES_BIN names {folder}, which is PostgreSQL {found.Version}; {OldestMajor} or newer is needed.",
                "Name a newer one, or unset it to have one looked for.");
    }

    static IEnumerable<(string Folder, string Origin)> Candidates(PostgresOptions options)
    {
        var seen = new HashSet<string>(StringComparer.Ordinal);
        var onPath = (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries)
            .Select(folder => Path.Combine(folder, "postgres" + Suffix)).Where(File.Exists)
            // A link on PATH leads to the folder where initdb and pg_ctl are; those need not be on PATH themselves.
            .Select(program => Path.GetDirectoryName(File.ResolveLinkTarget(program, returnFinalTarget: true)?.FullName ?? Path.GetFullPath(program))!);
        foreach (var folder in onPath.Where(seen.Add)) yield return (folder, "PATH");
        foreach (var folder in options.InstallFolders.SelectMany(Expand).Where(seen.Add)) yield return (folder, "installed");
    }

    // One `*`, in one part of the path; the highest number first, so that a new cluster gets the newest version.
    static IEnumerable<string> Expand(string pattern)
    {
        var star = pattern.IndexOf('*', StringComparison.Ordinal);
        if (star < 0) return Directory.Exists(pattern) ? [pattern] : [];
        var cut = pattern.LastIndexOfAny(['/', '\\'], star);
        var end = pattern.IndexOfAny(['/', '\\'], star);
        var parent = pattern[..cut];
        if (!Directory.Exists(parent)) return [];
        return Directory.GetDirectories(parent, pattern[(cut + 1)..end])
            .OrderByDescending(folder => Number().Match(Path.GetFileName(folder)) is { Success: true } n
                ? int.Parse(n.ValueSpan, CultureInfo.InvariantCulture) : 0)
            .Select(folder => folder + pattern[end..]).Where(Directory.Exists);
    }

    static async Task<(PostgresBinaries? Found, string Reason)> TryAsync(string folder, string origin, string? user, CancellationToken ct)
    {
        if (Programs.FirstOrDefault(p => !File.Exists(Path.Combine(folder, p + Suffix))) is { } absent) return (null, $"it holds no {absent}");
        try
        {
            // Asked as the user it will run as: a folder that only root can enter is of no use.
            var said = await Command.RunAsync(Path.Combine(folder, "postgres" + Suffix), ["--version"], user, folder, AskLimit, ct);
            var version = VersionNumber().Match(said.Output);
            return said.Ok && version.Success
                ? (new(folder, int.Parse(version.Groups[1].ValueSpan, CultureInfo.InvariantCulture), version.Value, origin), "")
                : (null, $"postgres --version says: {said.Tail}");
        }
        catch (Exception broken) when (broken is Win32Exception or TimeoutException)
        {
            return (null, broken.Message);
        }
    }

    static DatabaseUnavailable DoesNotRun(string folder, string? user) => new("binaries-folder",
        $"The PostgreSQL fetched into {folder} does not run here{(user is null ? "" : $" as {user}")}.",
        "Install PostgreSQL with the system's own package manager, or name its bin folder in CUSTODY_POSTGRES_BIN.");

    static DatabaseUnavailable Missing(int? requiredMajor, List<string> passedOver, bool mayFetch)
    {
        if (requiredMajor is { } made) return WrongMajor(made, passedOver.Count == 0 ? "none" : string.Join(", ", passedOver));
        var looked = passedOver.Count == 0 ? "" : $" Passed over: {string.Join(", ", passedOver)}.";
        return new("binaries-missing", $"No PostgreSQL {OldestMajor} or newer is installed here.{looked}",
            "Install one (Debian and Ubuntu: apt-get install postgresql; Fedora: dnf install postgresql-server; macOS: brew install postgresql@17; Windows: its installer)"
            + (mayFetch ? ", or npm, with which a package is fetched" : ", or allow fetching (CUSTODY_POSTGRES_FETCH is `no`)")
            + ", or name a bin folder in CUSTODY_POSTGRES_BIN, or a server in CUSTODY_POSTGRES.");
    }

    static DatabaseUnavailable WrongMajor(int made, string found) => new("wrong-major-version",
        $"The data folder was made by PostgreSQL {made}, and only that major version can open it; found: {found}.",
        $"Install PostgreSQL {made}, or name its bin folder in CUSTODY_POSTGRES_BIN, or move the data with pg_upgrade. Nothing was changed.");

    [GeneratedRegex(@"\d+")]
    private static partial Regex Number();

    [GeneratedRegex(@"(\d+)(?:\.\d+|\w+\d)")]
    private static partial Regex VersionNumber();
}
