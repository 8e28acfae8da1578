using Custody.Server.Log;

namespace Custody.Server.BackingUp;

/// <summary>Copies that stand after a power cut: written beside, flushed, renamed, with the original's time of change and mode.</summary>
static class DurableCopy
{
    /// <summary>Whether the copy is missing or other than the original by length or time. Files are replaced by renaming, so a change changes the time.</summary>
    public static bool IsDue(FileInfo from, string to) =>
        new FileInfo(to) is not { Exists: true } there || there.Length != from.Length || there.LastWriteTimeUtc != from.LastWriteTimeUtc;

    /// <summary>Copies one file. The names in its folder are flushed by <see cref="Flush"/>, once for many.</summary>
    /// <returns>False when the original was gone by then.</returns>
    public static bool File(string from, string to)
    {
        try
        {
            // Asked before it is read: a file that changes meanwhile is then due again.
            var info = new FileInfo(from);
            var (changed, mode) = (info.LastWriteTimeUtc, OperatingSystem.IsWindows() ? default : info.UnixFileMode);
            using var source = new FileStream(from, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            var draft = to + ".new";
            var how = new FileStreamOptions { Mode = FileMode.Create, Access = FileAccess.Write };
            if (!OperatingSystem.IsWindows()) how.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
            using (var copy = new FileStream(draft, how))
            {
                source.CopyTo(copy, 1 << 20);
                copy.Flush(flushToDisk: true);
            }
            System.IO.File.SetLastWriteTimeUtc(draft, changed);
            if (!OperatingSystem.IsWindows()) System.IO.File.SetUnixFileMode(draft, mode);
            System.IO.File.Move(draft, to, overwrite: true);
            return true;
        }
        catch (Exception gone) when (gone is FileNotFoundException or DirectoryNotFoundException && !System.IO.File.Exists(from))
        {
            return false;
        }
    }

    public static void Flush(string folder) => Durable.FlushFolder(folder);

    /// <summary>Copies what is due of a folder and all below it.</summary>
    /// <param name="leaveOut">Paths relative to the folder, folders included.</param>
    /// <returns>Files copied.</returns>
    public static int Folder(string from, string to, Func<string, bool> leaveOut, CancellationToken ct)
    {
        if (!Directory.Exists(from)) return 0;
        return Below(new DirectoryInfo(from), to, "", leaveOut, ct);
    }

    static int Below(DirectoryInfo from, string to, string path, Func<string, bool> leaveOut, CancellationToken ct)
    {
        var made = !Directory.Exists(to);
        Private.OwnerOnly.Folder(to);
        var (copied, here) = (0, 0);
        foreach (var item in from.EnumerateFileSystemInfos().OrderBy(i => i.Name, StringComparer.Ordinal))
        {
            ct.ThrowIfCancellationRequested();
            var name = path.Length == 0 ? item.Name : $"{path}/{item.Name}";
            // Drafts are no files yet: what they become is copied next time. Links lead out of the folder.
            if (leaveOut(name) || item.Name.EndsWith(".new", StringComparison.Ordinal) || item.LinkTarget is not null) continue;
            var copy = Path.Combine(to, item.Name);
            if (item is DirectoryInfo folder) copied += Below(folder, copy, name, leaveOut, ct);
            else if (IsDue((FileInfo)item, copy) && File(item.FullName, copy)) here++;
        }
        if (here > 0 || made) Flush(to);
        return copied + here;
    }
}
