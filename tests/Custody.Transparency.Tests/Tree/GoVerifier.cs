using System.Diagnostics;

namespace Custody.Transparency.Tests;

/// <summary>
/// The independent verifier in Go, built once from go/verify.go against golang.org/x/mod as Debian packages it (golang-go,
/// golang-golang-x-mod-dev). Absent where there is no Go; on the build service that is a failure.
/// </summary>
public sealed class GoVerifier : IDisposable
{
    const string Packages = "/usr/share/gocode";
    readonly string folder = Directory.CreateTempSubdirectory("custody-go-").FullName;
    readonly string program;

    /// <summary>Builds the verifier.</summary>
    public GoVerifier()
    {
        program = Path.Combine(folder, "verify");
        if (!Found)
        {
            Assert.False(Environment.GetEnvironmentVariable("CI") == "true", "The build service must have golang-go and golang-golang-x-mod-dev.");
            return;
        }
        var (code, output) = Run("go", ["build", "-o", program, Path.Combine(AppContext.BaseDirectory, "go", "verify.go")]);
        Assert.True(code == 0, output);
    }

    /// <summary>Whether Go and its x/mod packages are on this machine.</summary>
    public static bool Found { get; } = Directory.Exists(Path.Combine(Packages, "src/golang.org/x/mod/sumdb"))
        && (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator).Any(p => File.Exists(Path.Combine(p, "go")));

    /// <summary>Runs it over a folder.</summary>
    public (int Code, string Output) Verify(string log) => Run(program, [log]);

    static (int Code, string Output) Run(string file, string[] arguments)
    {
        var start = new ProcessStartInfo(file, arguments) { RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["GO111MODULE"] = "off";
        start.Environment["GOPROXY"] = "off";
        start.Environment["GOPATH"] = Packages;
        start.Environment["GOFLAGS"] = "";
        using var process = Process.Start(start)!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output + error.Result);
    }

    /// <inheritdoc/>
    public void Dispose() => Directory.Delete(folder, recursive: true);
}
