using System.Diagnostics;
using System.Text.Json;
using Custody.Server.Recording;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Benchmarks;

/// <summary>Every inline projection rebuilt from the events as the rebuild command does it. In a process of its own, so that its memory is what rebuilding
/// needs and not what measuring needed before.</summary>
static class Rebuilding
{
    public static async Task Measure(Bench bench, Figures figures, CancellationToken ct)
    {
        var events = await bench.Scalar<long>($"select count(*) from {bench.Place.Schema}.mt_events", ct);
        var told = await RebuildProcess.Start(bench.Place, ct);
        await Check(bench, ct);
        figures.Note("rebuild_events", events, "events");
        figures.AtLeast("rebuild_events_per_s", events / told.Seconds, "events/s", 10_000);
        figures.Below("rebuild_peak_mb", told.PeakMb, "MB", 400);
    }

    /// <summary>Speed counts only when every bat's state stands at its last entry.</summary>
    static async Task Check(Bench bench, CancellationToken ct)
    {
        var wrong = await bench.Scalar<long>(
            $"""
            select count(*) from {bench.Place.Schema}.mt_streams s left join {bench.Place.Schema}.mt_doc_bat_state d using (id)
            where s.id like 'bat/%' and (d.data ->> 'n')::bigint is distinct from s.version
            """, ct);
        if (wrong > 0) throw new InvalidOperationException($"{wrong} bats do not stand at their last entry after the rebuild.");
    }
}

/// <summary>What the process tells: seconds, and the most memory that was resident at once (10^6 bytes).</summary>
sealed record RebuildTold(double Seconds, double PeakMb);

static class RebuildProcess
{
    public const string Word = "rebuild-here";
    const string PlaceVariable = "CUSTODY_BENCHMARKS_PLACE";

    public static async Task<RebuildTold> Start(LedgerPlace place, CancellationToken ct)
    {
        // Under `dotnet x.dll` the process is dotnet itself, which needs the program's name first.
        var start = new ProcessStartInfo(Environment.ProcessPath!) { RedirectStandardOutput = true };
        if (Path.GetFileNameWithoutExtension(Environment.ProcessPath) == "dotnet") start.ArgumentList.Add(typeof(RebuildProcess).Assembly.Location);
        start.ArgumentList.Add(Word);
        // The place holds the database's password: not for the command line, which anybody on the machine can list.
        start.Environment[PlaceVariable] = JsonSerializer.Serialize(place);
        using var process = Process.Start(start)!;
        var output = await process.StandardOutput.ReadToEndAsync(ct);
        await process.WaitForExitAsync(ct);
        return process.ExitCode == 0 ? JsonSerializer.Deserialize<RebuildTold>(output)! : throw new InvalidOperationException("The rebuild failed.");
    }

    public static async Task<int> Run()
    {
        var place = JsonSerializer.Deserialize<LedgerPlace>(Environment.GetEnvironmentVariable(PlaceVariable)!)!;
        await using var services = Bench.Services(place);
        var clock = Stopwatch.StartNew();
        await services.GetRequiredService<Custody.Server.Recording.Rebuilding>().All(_ => { }, CancellationToken.None);
        var seconds = clock.Elapsed.TotalSeconds;
        using var self = Process.GetCurrentProcess();
        Console.WriteLine(JsonSerializer.Serialize(new RebuildTold(seconds, self.PeakWorkingSet64 / 1e6)));
        return 0;
    }
}
