using System.Text;
using Custody.Server.Log;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.BackingUp;

/// <summary>What stands outside the database: log, photographs, policies into the backup; keys into a folder apart. Repeating it copies only what is new.</summary>
static class FileCopies
{
    const string GoneSuffix = ".destroyed";

    // The cluster has its own way; keys go elsewhere; what is being handed out, and who holds the cluster, is of the moment.
    static readonly string[] NotFiles = ["postgres", "postgres.lock", "postgres.in-use", "keys", "handing-out", "nodes", "backup.destination", "log/" + Checkpoints.UnconfirmedName];

    /// <summary>Copies everything but database and keys. The newest checkpoint is read first and written last: tiles it needs are then there, so that a
    /// copy broken off anywhere holds an older checkpoint with all its tiles, never a newer one without.</summary>
    public static int Data(string data, BackupFolder to, CancellationToken ct)
    {
        var last = Path.Combine(data, "log", "checkpoint");
        var newest = File.Exists(last) ? File.ReadAllBytes(last) : null;
        var copied = DurableCopy.Folder(data, to.Files, name => NotFiles.Contains(name) || name == "log/checkpoint", ct);
        if (newest is not null && Checkpointed(to) is var kept && (kept is null || !kept.AsSpan().SequenceEqual(newest)))
        {
            Durable.Write(Path.Combine(to.Files, "log", "checkpoint"), newest);
            copied++;
        }
        Mark(Path.Combine(data, "keys", "values"), to, ct);
        return copied;
    }

    static byte[]? Checkpointed(BackupFolder folder) => Path.Combine(folder.Files, "log", "checkpoint") is var path && File.Exists(path) ? File.ReadAllBytes(path) : null;

    /// <summary>Copies the keys, and removes from the copy every key that was destroyed since: a copy that kept it would undo an erasure. The next log key is
    /// left out: its place is offline, and whoever holds both log keys can write history anew.</summary>
    public static int Keys(string data, string to, CancellationToken ct)
    {
        var from = Path.Combine(data, "keys");
        var copied = DurableCopy.Folder(from, to, name => name == "log/next", ct);
        foreach (var id in DestroyedIn(Path.Combine(to, "values"))) File.Delete(Path.Combine(to, "values", id));
        if (Directory.Exists(Path.Combine(to, "values"))) DurableCopy.Flush(Path.Combine(to, "values"));
        return copied;
    }

    /// <summary>Adds to the backup's list what was destroyed since. The list only grows: it outlives every copy of the keys.</summary>
    static void Mark(string values, BackupFolder to, CancellationToken ct)
    {
        var known = ReadMarks(to);
        var all = known.Union(DestroyedIn(values)).Order(StringComparer.Ordinal).ToList();
        ct.ThrowIfCancellationRequested();
        if (all.Count > known.Count) Durable.Write(to.Destroyed, Encoding.ASCII.GetBytes(string.Concat(all.Select(id => id + "\n"))));
    }

    /// <summary>Names of keys that were destroyed, as a backup lists them.</summary>
    public static IReadOnlySet<string> ReadMarks(BackupFolder folder) =>
        File.Exists(folder.Destroyed) ? File.ReadAllLines(folder.Destroyed).Where(id => Crockford.IsWritten(id)).ToHashSet(StringComparer.Ordinal) : new HashSet<string>(StringComparer.Ordinal);

    static IEnumerable<string> DestroyedIn(string values) => !Directory.Exists(values) ? []
        : Directory.EnumerateFiles(values, "*" + GoneSuffix).Select(f => Path.GetFileName(f)[..^GoneSuffix.Length]).Where(id => Crockford.IsWritten(id));

    /// <summary>Brings keys back, except those that the backup or the copy itself knows as destroyed, however old the copy is.</summary>
    /// <returns>How many were left out.</returns>
    public static int BringKeys(string from, string data, BackupFolder backup, CancellationToken ct)
    {
        var values = Path.Combine(data, "keys", "values");
        var gone = ReadMarks(backup).Union(DestroyedIn(Path.Combine(from, "values"))).ToHashSet(StringComparer.Ordinal);
        OwnerOnly.Folder(Path.Combine(data, "keys"));
        OwnerOnly.Folder(values);
        // The marks first: a crash in between leaves a key that nobody uses, and the next try removes it.
        foreach (var id in gone) OwnerOnly.ReadOrMake(Path.Combine(values, id + GoneSuffix), () => "destroyed"u8.ToArray());
        DurableCopy.Folder(from, Path.Combine(data, "keys"), name => name.StartsWith("values/", StringComparison.Ordinal) && gone.Contains(name["values/".Length..]), ct);
        return gone.Count(id => File.Exists(Path.Combine(from, "values", id)));
    }
}
