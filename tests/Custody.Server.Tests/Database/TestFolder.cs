using System.Diagnostics;

namespace Custody.Server.Tests.Database;

/// <summary>
/// A folder of one test's own, belonging to the user the test plays: the present one and, for root, also `nobody`. So on an
/// ordinary user's machine every test runs once, as root twice, and none is ever skipped.
/// </summary>
sealed class TestFolder : IDisposable
{
    public TestFolder(string user)
    {
        User = user;
        Root = Directory.CreateTempSubdirectory("custody-test-").FullName;
        if (OperatingSystem.IsWindows()) return;
        OpenToAll(Root);
        if (RunsAsAnother) Run("chown", user, Root);
    }

    public static TheoryData<string> Users => Environment.IsPrivilegedProcess && !OperatingSystem.IsWindows()
        ? ["root", "nobody"] : [Environment.UserName];

    public string User { get; }
    public bool RunsAsAnother => User != Environment.UserName;
    public string Root { get; }
    public string Data => Path.Combine(Root, "data");
    public string Cluster => Path.Combine(Data, "postgres", "data");

    /// <summary>Everything in it, for "nothing was left" and "nothing was changed".</summary>
    public string[] Contents() =>
        [.. Directory.EnumerateFileSystemEntries(Root, "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal)];

    /// <summary>A program of the test's own, for everybody to run.</summary>
    public string Script(string folder, string name, string text)
    {
        var path = Path.Combine(Root, folder);
        Directory.CreateDirectory(path);
        OpenToAll(path);
        path = Path.Combine(path, name);
        File.WriteAllText(path, "#!/bin/sh\n" + text + "\n");
        OpenToAll(path);
        return path;
    }

    public static void OpenToAll(string path)
    {
        if (OperatingSystem.IsWindows()) return;
        const UnixFileMode all = UnixFileMode.UserRead | UnixFileMode.GroupRead | UnixFileMode.OtherRead
            | UnixFileMode.UserExecute | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute | UnixFileMode.UserWrite;
        File.SetUnixFileMode(path, all);
    }

    public static string Run(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, $"{program} {string.Join(' ', arguments)}: exit code {process.ExitCode}");
        return output.Trim();
    }

    public void Dispose()
    {
        // As root, in a folder that others cannot enter, the cluster lies elsewhere and `postgres` is a link to it.
        foreach (var link in Directory.EnumerateDirectories(Root, "postgres", SearchOption.AllDirectories))
        {
            if (new DirectoryInfo(link).ResolveLinkTarget(returnFinalTarget: true) is { Exists: true } elsewhere) Directory.Delete(elsewhere.FullName, recursive: true);
        }
        Directory.Delete(Root, recursive: true);
    }
}
