namespace Custody.Server.Private;

/// <summary>Files that only their owner may read, written whole or not at all.</summary>
public static class OwnerOnly
{
    public static void Folder(string path)
    {
        if (OperatingSystem.IsWindows()) Directory.CreateDirectory(path);
        else Directory.CreateDirectory(path, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
    }

    /// <summary>Why a secret in this file is none: others than its owner may read or write it. Null when only the owner may.</summary>
    public static string? WhyNot(string path)
    {
        const UnixFileMode others = UnixFileMode.GroupRead | UnixFileMode.GroupWrite | UnixFileMode.GroupExecute
            | UnixFileMode.OtherRead | UnixFileMode.OtherWrite | UnixFileMode.OtherExecute;
        return OperatingSystem.IsWindows() || (File.GetUnixFileMode(path) & others) == 0 ? null
            : $"Others may read the secret in {path}. Think who could have read it, then: chmod go= {path}";
    }

    /// <summary>The file's bytes; when it is missing, makes it from <paramref name="fresh"/>. Two processes that race both get the winner's bytes.</summary>
    public static byte[] ReadOrMake(string path, Func<byte[]> fresh)
    {
        if (File.Exists(path)) return File.ReadAllBytes(path);
        // Drawn, not the process's number: in containers that share the folder every server is process 1.
        var draft = $"{path}.{Guid.NewGuid():N}.new";
        Write(draft, fresh());
        try
        {
            File.Move(draft, path, overwrite: false);
        }
        catch (IOException) when (File.Exists(path))
        {
            File.Delete(draft);
        }
        return File.ReadAllBytes(path);
    }

    /// <summary>Replaces the file's bytes; a crash leaves the old bytes or the new ones.</summary>
    public static void Replace(string path, ReadOnlySpan<byte> bytes)
    {
        var draft = path + ".new";
        Write(draft, bytes);
        File.Move(draft, path, overwrite: true);
    }

    static void Write(string path, ReadOnlySpan<byte> bytes)
    {
        var options = new FileStreamOptions { Mode = FileMode.Create, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows()) options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        using var file = new FileStream(path, options);
        file.Write(bytes);
        file.Flush(flushToDisk: true);
    }
}
