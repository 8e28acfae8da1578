using System.Diagnostics;
using Custody.Server.Log;

namespace Custody.Benchmarks;

/// <summary>The log: how fast entries become leaves, and how long after their commit they are leaves under a signed checkpoint.</summary>
static class Sequencing
{
    /// <summary>p99 of the time from commit, as the writer learns of it, to the published checkpoint that covers the entry. The leaf itself is
    /// there earlier, so this is more than what is promised.</summary>
    public static async Task MeasureLag(Bench bench, Plan plan, Figures figures, CancellationToken ct)
    {
        var (sequencer, standing, writers) = (bench.Get<Sequencer>(), bench.Get<SequencerStanding>(), bench.Writers);
        await sequencer.StartAsync(ct);
        await Published(bench, standing, ct);
        var first = standing.Published;
        using var watching = CancellationTokenSource.CreateLinkedTokenSource(ct);
        var watch = Task.Factory.StartNew(() => Watch(standing, watching.Token), TaskCreationOptions.LongRunning);
        writers.Journal = new();
        var rate = await Appending.Rate(bat => writers.Record(bat, ct), 8, plan.Bats, plan.Behind);
        await Published(bench, standing, ct);
        await watching.CancelAsync();
        var lags = await Lags(bench, first, writers.Journal.ToDictionary(r => (r.Bat.ToString(), r.N), r => r.At), await watch, ct);
        writers.Journal = null;
        await sequencer.StopAsync(ct);
        figures.Note("sequencer_lag_behind_acts_per_s", rate, "acts/s");
        figures.Note("sequencer_lag_ms_p50", Share(lags, 0.50), "ms");
        figures.Below("sequencer_lag_ms_p99", Share(lags, 0.99), "ms", 1000);
    }

    /// <summary>Leaves per second with enough waiting: taken, numbered, written to tiles, under a checkpoint.</summary>
    public static async Task MeasureSpeed(Bench bench, Plan plan, Figures figures, CancellationToken ct)
    {
        var (sequencer, publisher) = (bench.Get<Sequencer>(), bench.Get<Publisher>());
        // One turn unmeasured: its code is compiled, the tables are in memory.
        await sequencer.Turn(ct);
        var first = publisher.Published;
        var clock = Stopwatch.StartNew();
        while (publisher.Published - first < plan.Leaves && await sequencer.Turn(ct)) { }
        figures.AtLeast("sequencer_leaves_per_s", (publisher.Published - first) / clock.Elapsed.TotalSeconds, "leaves/s", 15_000);
    }

    static List<(long At, long Size)> Watch(SequencerStanding standing, CancellationToken stop)
    {
        List<(long, long)> seen = [];
        var last = 0L;
        while (!stop.IsCancellationRequested)
        {
            var size = standing.Published;
            if (size != last) seen.Add((Stopwatch.GetTimestamp(), last = size));
            Thread.Sleep(1);
        }
        return seen;
    }

    static async Task<double[]> Lags(Bench bench, long first, Dictionary<(string, long), long> committed, List<(long At, long Size)> seen, CancellationToken ct)
    {
        List<double> lags = [];
        await using var command = bench.Database.CreateCommand(
            $"select index, stream, n from {bench.Place.Schema}.custody_leaf where index >= {first} order by index");
        await using var reader = await command.ExecuteReaderAsync(ct);
        var at = 0;
        while (await reader.ReadAsync(ct))
        {
            while (seen[at].Size <= reader.GetInt64(0)) at++;
            // Published before the writer heard of its own commit: no wait at all.
            var ticks = seen[at].At - committed[(reader.GetString(1), reader.GetInt64(2))];
            lags.Add(Math.Max(0, ticks * 1000.0 / Stopwatch.Frequency));
        }
        if (lags.Count != committed.Count) throw new InvalidOperationException($"{committed.Count} entries were recorded, {lags.Count} became leaves.");
        lags.Sort();
        return [.. lags];
    }

    static async Task Published(Bench bench, SequencerStanding standing, CancellationToken ct)
    {
        var all = await bench.Scalar<long>($"select count(*) from {bench.Place.Schema}.mt_events", ct);
        for (var waited = Stopwatch.StartNew(); standing.Published < all; await Task.Delay(10, ct))
        {
            if (standing.Fault is { } fault) throw fault;
            if (waited.Elapsed > TimeSpan.FromSeconds(60)) throw new TimeoutException($"The sequencer stands at {standing.Published} of {all} entries.");
        }
    }

    static double Share(double[] ascending, double share) => ascending[Math.Min(ascending.Length - 1, (int)Math.Ceiling(share * ascending.Length) - 1)];
}
