namespace Custody.Benchmarks;

/// <summary>Every inline projection rebuilt from the events as the rebuild command does it. In a process of its own, so that its memory is what rebuilding
/// needs and not what measuring needed before.</summary>
static class Rebuilding
{
    public static async Task Measure(Bench bench, Figures figures, CancellationToken ct)
    {
        var events = await bench.Scalar<long>($"select count(*) from {bench.Place.Schema}.mt_events", ct);
        var told = await OwnProcess.Start(OwnProcess.Rebuild, bench.Place, ct);
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
