using Custody.Server.Database;
using Npgsql;

namespace Custody.Server.BackingUp;

/// <summary>What a backup did.</summary>
/// <param name="Base">Folder of the base backup; null where the database is somebody else's to back up.</param>
/// <param name="Files">Files copied this time.</param>
/// <param name="Keys">Key files copied this time; null where no folder was named for them.</param>
public sealed record BackedUp(string? Base, int Files, int? Keys);

/// <summary>Backs up a ledger while it works.</summary>
static class BackupDesk
{
    /// <param name="data">The data folder.</param>
    /// <param name="keysTo">Folder for the keys, apart from the rest; null: they are not copied.</param>
    /// <exception cref="BackupFault">It cannot be done so; the sentence says what to do.</exception>
    public static async Task<BackedUp> Run(string data, string to, string? keysTo, IPostgresHandle postgres, CancellationToken ct)
    {
        if (BackupFolder.WhyNot(data, to, keysTo) is { } refusal) throw new BackupFault(refusal.Code, refusal.Sentence, refusal.Remedy);
        BackupFolder folder = new(Path.GetFullPath(to));
        var own = postgres as EmbeddedPostgres;
        var cluster = own is null ? null : PostgresFolder.Locate(data, ServerUser.IsRoot);
        var user = cluster is null ? null : await ServerUser.ForAsync(cluster, ct);
        await folder.Prepare(user, ct);
        string? made = null;
        if (own is not null && cluster is not null)
        {
            if (OperatingSystem.IsWindows()) throw new BackupFault("backup-platform", "Archiving of the write-ahead log is done by a script for a POSIX shell.", "Run a PostgreSQL of your own, back it up with its tools, and name it in CUSTODY_POSTGRES.");
            await using var admin = new NpgsqlConnection(own.AdminConnectionString);
            await admin.OpenAsync(ct);
            await WalArchive.TurnOn(cluster, folder, user, admin, ct);
            made = await BaseBackup.Make(cluster, folder, admin, ct);
        }
        // After the database: a file is stored before the entry that names it is recorded, so every entry of the copy finds its file.
        var copied = FileCopies.Data(data, folder, ct);
        int? keys = null;
        if (keysTo is not null)
        {
            Private.OwnerOnly.Folder(Path.GetFullPath(keysTo));
            keys = FileCopies.Keys(data, Path.GetFullPath(keysTo), ct);
        }
        BackupFollower.Remember(data, folder.Root, keysTo is null ? null : Path.GetFullPath(keysTo));
        return new(made, copied, keys);
    }
}
