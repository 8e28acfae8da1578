using System.Diagnostics;

namespace Custody.Transparency.Tests;

/// <summary>
/// A program in Go, built once from the folder go beside the tests against golang.org/x/mod as Debian packages it (golang-go,
/// golang-golang-x-mod-dev). Absent where there is no Go; on the build service that is a failure.
/// </summary>
public class GoProgram : IDisposable
{
    const string Packages = "/usr/share/gocode";
    readonly string folder = Directory.CreateTempSubdirectory("custody-go-").FullName;
    readonly string program;

    /// <summary>Builds it.</summary>
    /// <param name="source">Such as <c>verify.go</c>.</param>
    protected GoProgram(string source)
    {
        program = Path.Combine(folder, Path.GetFileNameWithoutExtension(source));
        if (!Found)
        {
            Assert.False(Environment.GetEnvironmentVariable("CI") == "true", "The build service must have golang-go and golang-golang-x-mod-dev.");
            return;
        }
        using var build = Start("go", ["build", "-o", program, Path.Combine(AppContext.BaseDirectory, "go", source)]);
        var (code, output) = ToEnd(build);
        Assert.True(code == 0, output);
    }

    /// <summary>Whether Go and its x/mod packages are on this machine.</summary>
    public static bool Found { get; } = Directory.Exists(Path.Combine(Packages, "src/golang.org/x/mod/sumdb"))
        && (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator).Any(p => File.Exists(Path.Combine(p, "go")));

    /// <summary>Starts it.</summary>
    protected Process Start(params string[] arguments) => Start(program, arguments);

    /// <summary>Waits for its end: exit code and what it said.</summary>
    protected static (int Code, string Output) ToEnd(Process process)
    {
        process.StandardInput.Close();
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output + error.Result);
    }

    static Process Start(string file, string[] arguments)
    {
        var start = new ProcessStartInfo(file, arguments) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["GO111MODULE"] = "off";
        start.Environment["GOPROXY"] = "off";
        start.Environment["GOPATH"] = Packages;
        start.Environment["GOFLAGS"] = "";
        return Process.Start(start)!;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        Directory.Delete(folder, recursive: true);
        GC.SuppressFinalize(this);
    }
}
