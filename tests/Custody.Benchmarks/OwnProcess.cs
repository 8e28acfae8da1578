using System.Diagnostics;
using System.Text.Json;
using Custody.Server.Auditing;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Benchmarks;

/// <summary>What such a process tells: seconds, seconds of processor time it took itself (the database's not counted), and the most memory that was
/// resident at once (10^6 bytes).</summary>
/// <param name="Done">How many things were done, where that is not known before.</param>
sealed record OwnProcessTold(double Seconds, double CpuSeconds, double PeakMb, long Done);

/// <summary>One part in a process of its own, so that its memory is what it needs and not what measuring needed before.</summary>
static class OwnProcess
{
    public const string Rebuild = "rebuild-here";
    public const string Audit = "audit-here";
    public const string Recompute = "recompute-here";
    const string PlaceVariable = "CUSTODY_BENCHMARKS_PLACE";

    public static async Task<OwnProcessTold> Start(string word, LedgerPlace place, CancellationToken ct)
    {
        // Under `dotnet x.dll` the process is dotnet itself, which needs the program's name first.
        var start = new ProcessStartInfo(Environment.ProcessPath!) { RedirectStandardOutput = true };
        if (Path.GetFileNameWithoutExtension(Environment.ProcessPath) == "dotnet") start.ArgumentList.Add(typeof(OwnProcess).Assembly.Location);
        start.ArgumentList.Add(word);
        // The place holds the database's password: not for the command line, which anybody on the machine can list.
        start.Environment[PlaceVariable] = JsonSerializer.Serialize(place);
        using var process = Process.Start(start)!;
        var output = await process.StandardOutput.ReadToEndAsync(ct);
        await process.WaitForExitAsync(ct);
        return process.ExitCode == 0 ? JsonSerializer.Deserialize<OwnProcessTold>(output)! : throw new InvalidOperationException($"The part '{word}' failed.");
    }

    public static async Task<int> Run(string word)
    {
        var place = JsonSerializer.Deserialize<LedgerPlace>(Environment.GetEnvironmentVariable(PlaceVariable)!)!;
        await using var services = Bench.Services(place);
        var clock = Stopwatch.StartNew();
        long done = 0;
        if (word == Rebuild) await services.GetRequiredService<Custody.Server.Recording.Rebuilding>().All(_ => { }, CancellationToken.None);
        else if (word == Recompute) done = await RecomputeAll(services.GetRequiredService<RecomputeDesk>());
        else await AuditIt(services.GetRequiredService<Auditor>());
        var seconds = clock.Elapsed.TotalSeconds;
        using var self = Process.GetCurrentProcess();
        Console.WriteLine(JsonSerializer.Serialize(new OwnProcessTold(seconds, self.TotalProcessorTime.TotalSeconds, self.PeakWorkingSet64 / 1e6, done)));
        return 0;
    }

    /// <summary>Speed counts only when the audit finds what is there: nothing wrong.</summary>
    static async Task AuditIt(Auditor auditor)
    {
        var report = await auditor.Run(new AuditScope(Values: true, States: false), new Silent(), CancellationToken.None);
        if (report.Findings.Kept.FirstOrDefault(f => f.IsFault) is { } fault) throw new InvalidOperationException(fault.ToString());
    }

    /// <summary>Every opinion, as <c>recompute --all</c> has them; speed counts only when every number comes out the same.</summary>
    static async Task<long> RecomputeAll(RecomputeDesk desk)
    {
        long done = 0;
        await foreach (var read in desk.All(CancellationToken.None))
            done += read.Opinion is { Holds: true, Computed: RecomputeBench.NumbersOfEach } ? 1 : throw new InvalidOperationException($"An opinion on {read.Bat.Stream} does not come out the same.");
        return done;
    }

    sealed class Silent : IProgress<string>
    {
        public void Report(string value)
        {
        }
    }
}
