using System.Collections.Concurrent;
using System.Diagnostics;
using Custody.Server.Tests.Labels;
using Custody.Tests;
using Custody.Verifier;

namespace Custody.Browser.Tests;

/// <summary>The natively compiled checker against the managed one, whole processes, byte for byte: what reflection needs and a native program might lack shows
/// here and nowhere else.</summary>
public sealed class NativeTests(NativeChecker native) : IClassFixture<NativeChecker>
{
    [Fact]
    public void The_native_checker_answers_every_dossier_and_every_event_type_as_the_managed_one_does()
    {
        if (native.Program is not { } program) return;
        ConcurrentBag<string> differences = [];
        Parallel.ForEach([.. Cases.All, .. Cases.EveryType()], one =>
        {
            var folder = Directory.CreateTempSubdirectory("custody-native-");
            try
            {
                var arguments = Arguments(one, folder.FullName);
                using StringWriter output = new(), errors = new();
                var exit = CommandLine.Run(arguments, output, errors, TimeProvider.System);
                if (NativeChecker.Run(program, arguments) is var said && said != (exit, output.ToString(), errors.ToString()))
                    differences.Add($"{one.Name}: {said.Exit} {said.Output}{said.Errors} instead of {exit} {output}{errors}");
            }
            finally
            {
                folder.Delete(recursive: true);
            }
        });
        Assert.Empty(differences);
    }

    [Fact]
    public void The_native_checker_needs_no_runtime_beside_it()
    {
        if (native.Program is not { } program) return;
        Assert.Empty(Directory.GetFiles(Path.GetDirectoryName(program)!, "*.dll"));
        Assert.Equal(0, NativeChecker.Run(program, ["--help"]).Exit);
    }

    static List<string> Arguments(Case one, string folder)
    {
        var path = Path.Combine(folder, "a.dossier.zip");
        File.WriteAllBytes(path, one.Bytes);
        List<string> arguments = [path, "--json"];
        if (one.Key is not null) arguments.AddRange(["--key", one.Key]);
        if (one.Label is not null) arguments.AddRange(["--label", one.Label]);
        if (one.Policy is null) return arguments;
        File.WriteAllText(Path.Combine(folder, "policy"), one.Policy);
        return [.. arguments, "--policy", Path.Combine(folder, "policy")];
    }
}

/// <summary>Compiles the checker by the script that publishes it, once for all tests.</summary>
public sealed class NativeChecker : IDisposable
{
    readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("custody-native-checker-");

    public NativeChecker()
    {
        if (Tool.Find("gcc", "gcc") is null || (OperatingSystem.IsLinux() && Tool.Find("ld", "binutils") is null)) return;
        var (exit, output, errors) = Run(Path.Combine(SourceTree.Root, "ops", "publish-checker.sh"), [folder.FullName]);
        Assert.True(exit == 0, output + errors);
        Program = Path.Combine(folder.FullName, "custody-verify");
    }

    /// <summary>The program; null where there is no linker, which is an error in CI.</summary>
    public string? Program { get; }

    public static (int Exit, string Output, string Errors) Run(string program, IEnumerable<string> arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var errors = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output, errors.Result);
    }

    public void Dispose() => folder.Delete(recursive: true);
}
