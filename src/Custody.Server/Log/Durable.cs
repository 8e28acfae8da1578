using System.Runtime.InteropServices;

namespace Custody.Server.Log;

/// <summary>Files that stand after a crash: written beside, flushed, renamed, the folder flushed too.</summary>
public static partial class Durable
{
    public static void Write(string path, ReadOnlySpan<byte> bytes)
    {
        var folder = Path.GetDirectoryName(path)!;
        Directory.CreateDirectory(folder);
        var draft = path + ".new";
        using (var file = new FileStream(draft, FileMode.Create, FileAccess.Write, FileShare.None, bufferSize: 1))
        {
            file.Write(bytes);
            file.Flush(flushToDisk: true);
        }
        File.Move(draft, path, overwrite: true);
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
