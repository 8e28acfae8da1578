using Custody.Bats;
using Custody.Server.Database;
using Custody.Server.Private;

namespace Custody.Server.BackingUp;

/// <summary>Where a backup keeps what. One folder for everything but keys, another for the keys: whoever gets one of the two can read nobody's private data.</summary>
sealed record BackupFolder(string Root)
{
    /// <summary>Name of the list of destroyed keys. It says nothing about anybody: names of keys are keyed digests.</summary>
    public const string DestroyedName = "destroyed-keys";

    /// <summary>Base backups, one folder for each, named by its time.</summary>
    public string Bases => Path.Combine(Root, "base");

    /// <summary>Finished segments of the write-ahead log.</summary>
    public string Wal => Path.Combine(Root, "wal");

    /// <summary>The data folder's own files: log, photographs, origin, policies.</summary>
    public string Files => Path.Combine(Root, "files");

    public string Destroyed => Path.Combine(Root, DestroyedName);

    /// <summary>Why these folders cannot be used together; null when they can.</summary>
    public static Refusal? WhyNot(string data, string to, string? keys)
    {
        if (Within(to, data) || Within(data, to))
            return new("backup-in-data", $"{to} and the data folder lie one in the other: what is lost with the one is lost with the other.", "Name a folder on another disk with --to.");
        if (keys is not null && (Within(keys, to) || Within(to, keys) || Within(keys, data) || Within(data, keys)))
            return new("keys-beside-data", $"{keys} lies with the data or with their backup: keys kept beside what they cover cover nothing.", "Name a folder apart, on another medium, with --keys-to.");
        return null;
    }

    static bool Within(string inner, string outer)
    {
        var (a, b) = (Real(Path.GetFullPath(inner)), Real(Path.GetFullPath(outer)));
        return a == b || a.StartsWith(b.TrimEnd(Path.DirectorySeparatorChar) + Path.DirectorySeparatorChar, StringComparison.Ordinal);
    }

    // Links are followed as far as there is a path to follow.
    static string Real(string path) => Directory.Exists(path) || Path.GetDirectoryName(path) is not { } parent
        ? PostgresFolder.RealPath(path) : Path.Combine(Real(parent), Path.GetFileName(path));

    /// <summary>Makes the folders. Only the segments' folder is PostgreSQL's; whoever runs it must be able to reach it, and nobody else reads anything.</summary>
    public async Task Prepare(string? databaseUser, CancellationToken ct)
    {
        OwnerOnly.Folder(Root);
        if (databaseUser is not null && !OperatingSystem.IsWindows())
            File.SetUnixFileMode(Root, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute);
        OwnerOnly.Folder(Bases);
        OwnerOnly.Folder(Files);
        await PostgresFolder.MakeOwnAsync(Wal, databaseUser, ct);
    }
}

/// <summary>A backup or restore that cannot be done; said, never guessed round.</summary>
public sealed class BackupFault(string code, string sentence, string remedy) : Exception(sentence)
{
    public Refusal Said { get; } = new(code, sentence, remedy);
}
