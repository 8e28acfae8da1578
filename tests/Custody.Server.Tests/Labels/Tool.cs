using System.Diagnostics;

namespace Custody.Server.Tests.Labels;

/// <summary>A program of the machine that tests use when it is there and demand when CI=true.</summary>
static class Tool
{
    /// <summary>The program's path; null if absent, which is printed. Fails in CI.</summary>
    public static string? Find(string name, string package)
    {
        var found = (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator)
          .Select(folder => Path.Combine(folder, name)).FirstOrDefault(File.Exists);
        if (found is not null) return found;
        Assert.False(Environment.GetEnvironmentVariable("CI") == "true", $"{name} is not installed; in CI it must be (Debian package {package}).");
        TestContext.Current.TestOutputHelper?.WriteLine($"Note: {name} is not installed (Debian package {package}); what it would have said was not asked.");
        return null;
    }

    public static (int Exit, string Output) Run(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        // Read away, or a talkative program would wait for a reader for ever.
        process.ErrorDataReceived += (_, _) => { };
        process.BeginErrorReadLine();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output);
    }
}
