using System.Runtime.InteropServices;

namespace Custody.Server.Photographs;

/// <summary>
/// Makes a rename survive a power cut. POSIX keeps a file's bytes (fsync of the file) and its name (fsync of the folder) apart;
/// without the second, a file that was reported stored can be gone after the lights return.
/// </summary>
static class DurableFolder
{
    /// <summary>Creates the folder and every missing parent, each made durable in the one above it.</summary>
    public static void Create(string folder)
    {
        if (Directory.Exists(folder)) return;
        var parent = Path.GetDirectoryName(folder);
        if (!string.IsNullOrEmpty(parent)) Create(parent);
        Directory.CreateDirectory(folder);
        if (!string.IsNullOrEmpty(parent)) Flush(parent);
    }

    /// <summary>Flushes the folder's list of names to disk. Does nothing on Windows, where NTFS journals names itself and a
    /// folder cannot be flushed.</summary>
    /// <exception cref="IOException">The operating system refused.</exception>
    public static void Flush(string folder)
    {
        if (OperatingSystem.IsWindows()) return;
        var descriptor = Open([.. System.Text.Encoding.UTF8.GetBytes(folder), 0], 0);
        if (descriptor < 0) throw Failed(folder);
        try
        {
            if (Fsync(descriptor) != 0) throw Failed(folder);
        }
        finally
        {
            _ = Close(descriptor);
        }
    }

    static IOException Failed(string folder) =>
      new($"The folder {folder} could not be flushed to disk: {Marshal.GetLastPInvokeErrorMessage()}.");

    // The platform library opens files only, never folders, so these three calls go to the C library.
    [DllImport("libc", EntryPoint = "open", SetLastError = true)]
    static extern int Open(byte[] pathWithZeroAtEnd, int flags);

    [DllImport("libc", EntryPoint = "fsync", SetLastError = true)]
    static extern int Fsync(int descriptor);

    [DllImport("libc", EntryPoint = "close", SetLastError = true)]
    static extern int Close(int descriptor);
}
