using System.Runtime.InteropServices;

namespace Custody.Server.Log;

/// <summary>Files that stand after a crash: written beside, flushed, renamed, the folder flushed too.</summary>
public static partial class Durable
{
    // One for each process, so that two nodes never write into one draft; drawn, because in containers every server is process 1.
    static readonly string Suffix = $".{Guid.NewGuid():N}.new";

    /// <summary>Where the file is written before it takes its name.</summary>
    internal static string DraftOf(string path) => path + Suffix;

    /// <param name="turn">Held while the file takes its name; what it throws leaves the old file in its place.</param>
    public static void Write(string path, ReadOnlySpan<byte> bytes, Func<IDisposable>? turn = null)
    {
        var folder = Path.GetDirectoryName(path)!;
        Directory.CreateDirectory(folder);
        var draft = DraftOf(path);
        using (var file = new FileStream(draft, FileMode.Create, FileAccess.Write, FileShare.None, bufferSize: 1))
        {
            file.Write(bytes);
            file.Flush(flushToDisk: true);
        }
        try
        {
            using (turn?.Invoke()) File.Move(draft, path, overwrite: true);
        }
        catch
        {
            File.Delete(draft);
            throw;
        }
        FlushFolder(folder);
    }

    // A rename is durable only once the folder is flushed; .NET has no call for it. Windows needs none.
    internal static void FlushFolder(string folder)
    {
        if (OperatingSystem.IsWindows()) return;
        var handle = Open(folder, 0);
        if (handle < 0) throw new IOException($"The folder {folder} cannot be opened to be flushed (error {Marshal.GetLastPInvokeError()}).");
        try
        {
            if (Fsync(handle) != 0) throw new IOException($"The folder {folder} cannot be flushed (error {Marshal.GetLastPInvokeError()}).");
        }
        finally
        {
            _ = Close(handle);
        }
    }

    [LibraryImport("libc", EntryPoint = "open", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "fsync", SetLastError = true)]
    private static partial int Fsync(int handle);

    [LibraryImport("libc", EntryPoint = "close", SetLastError = true)]
    private static partial int Close(int handle);
}
