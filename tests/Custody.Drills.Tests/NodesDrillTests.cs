using System.Diagnostics;

namespace Custody.Drills.Tests;

/// <summary>A short run of ops/nodes-drill.sh with real processes; the long ones are run by hand.</summary>
public sealed class NodesDrillTests
{
    [Fact]
    public async Task Of_two_nodes_started_at_once_one_is_killed_and_the_other_goes_on_with_nothing_lost_or_doubled()
    {
        // How soon is measured by the drill alone, on a machine that does nothing else.
        var (said, code) = await Drill("nodes", "--nodes", "2", "--kills", "1", "--writers", "2", "--seed", "1", "--minutes", "5", "--within", "120");
        Assert.Matches("nodes=2 kills=1 acknowledged=[1-9][0-9]* lost=0 doubled=0 longest=[0-9.]+s audit=clean\\s*$", said);
        Assert.Equal(0, code);
    }

    static async Task<(string Said, int Code)> Drill(params string[] arguments)
    {
        ProcessStartInfo start = new("dotnet", [Built("tests/Custody.Drills/Custody.Drills.dll"), .. arguments, "--server", Built("src/Custody.Server/Custody.Server.dll")])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        using var drill = Process.Start(start)!;
        var (said, errors) = (drill.StandardOutput.ReadToEndAsync(), drill.StandardError.ReadToEndAsync());
        await drill.WaitForExitAsync(TestContext.Current.CancellationToken);
        TestContext.Current.TestOutputHelper!.WriteLine(await said + await errors);
        return (await said, drill.ExitCode);
    }

    // This assembly stands in <root>/tests/Custody.Drills.Tests/bin/<configuration>/<framework>: the others stand beside it in the same way.
    static string Built(string project)
    {
        var here = new DirectoryInfo(AppContext.BaseDirectory);
        var root = here.Parent!.Parent!.Parent!.Parent!.Parent!.FullName;
        return Path.Combine(root, Path.GetDirectoryName(project)!, "bin", here.Parent.Name, here.Name, Path.GetFileName(project));
    }
}
