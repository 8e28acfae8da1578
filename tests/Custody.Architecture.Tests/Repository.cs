using System.Diagnostics;
using System.Text;
using System.Text.RegularExpressions;

namespace Custody.Architecture.Tests;

/// <summary>The files under version control, and those not yet added but not ignored: what the next commit could hold.</summary>
static class Repository
{
    public static string Root => Custody.Tests.SourceTree.Root;

    /// <summary>Paths from the root, with `/`.</summary>
    public static IReadOnlyList<string> Files { get; } = ListFiles();

    public static IEnumerable<SourceFile> Read(Func<string, bool> which) =>
        Files.Where(which).Select(path => new SourceFile(path, File.ReadAllText(Path.Combine(Root, path))));

    static string[] ListFiles()
    {
        string[] arguments = ["-C", Root, "ls-files", "-z", "--cached", "--others", "--exclude-standard"];
        using var git = Process.Start(new ProcessStartInfo("git", arguments) { RedirectStandardOutput = true, StandardOutputEncoding = Encoding.UTF8 })!;
        var listed = git.StandardOutput.ReadToEnd();
        git.WaitForExit();
        Assert.True(git.ExitCode == 0, $"git ls-files: exit code {git.ExitCode}");
        return [.. listed.Split('\0', StringSplitOptions.RemoveEmptyEntries).Where(path => File.Exists(Path.Combine(Root, path)))];
    }
}

/// <summary>A file's path from the root and its text; made up in the self-tests.</summary>
sealed partial record SourceFile(string Path, string Text)
{
    /// <summary>The text without comments: a rule may be talked about where it must not be broken.</summary>
    public string Code => Comment().Replace(Text, found => found.Value[0] == '/' ? " " : found.Value);

    // Strings are matched first and kept, so that "https://" does not begin a comment.
    [GeneratedRegex(""""
        """[\s\S]*?"""|@"(?:[^"]|"")*"|"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'|//[^\n]*|/\*[\s\S]*?\*/
        """", RegexOptions.IgnorePatternWhitespace)]
    private static partial Regex Comment();
}
