using Custody.Server.Log;

namespace Custody.Benchmarks;

/// <summary>The audit of a long history: every event re-hashed, the tree made again, everything signed compared. In a process of its own.</summary>
static class Auditing
{
    // A million events in less than twenty seconds.
    const double Goal = 50_000;

    public static async Task Measure(Bench bench, Figures figures, CancellationToken ct)
    {
        var told = await Run(bench, ct);
        var events = await Growing.Events(bench, ct);
        figures.Note("audit_events", events, "events");
        figures.Note("audit_s", told.Seconds, "s");
        figures.Note("audit_own_cpu_s", told.CpuSeconds, "s");
        figures.AtLeast("audit_events_per_s", events / told.Seconds, "events/s", Goal);
        figures.Below("audit_peak_mb", told.PeakMb, "MB", 400);
    }

    public static async Task<OwnProcessTold> Run(Bench bench, CancellationToken ct)
    {
        // Everything must be in the log: the audit compares what was signed.
        while (await bench.Get<Sequencer>().Turn(ct)) { }
        await bench.Run($"vacuum analyze {bench.Place.Schema}.custody_leaf", ct);
        return await OwnProcess.Start(OwnProcess.Audit, bench.Place, ct);
    }
}
