using System.Diagnostics.Metrics;
using Npgsql;

namespace Custody.Server.Observing;

/// <summary>Looks how the node stands every so often, for the gauges. Only where somebody listens: it asks the database.</summary>
sealed partial class StandingWatch(Readiness readiness, ILogger<StandingWatch> log) : BackgroundService
{
    static readonly TimeSpan Pause = TimeSpan.FromSeconds(15);

    readonly Meter meter = new(Meters.Name);
    volatile Standing? latest;

    protected override async Task ExecuteAsync(CancellationToken stopping)
    {
        Gauge("custody.sequencer.lag", "s", "Age of the oldest entry that waits for its place in the log.", s => s.Lag);
        Gauge("custody.sequencer.pending", "{entry}", "Entries that wait for their place in the log.", s => s.Pending);
        Gauge("custody.log.size", "{leaf}", "Leaves under the newest checkpoint.", s => s.Published);
        Gauge("custody.audit.age", "s", "Time since an audit was recorded in the ledger.", s => s.AuditAge);
        Gauge("custody.disk.free", "By", "Free where the data folder lies.", s => s.DiskFree);
        Gauge("custody.ready", "1", "1 when acts can be recorded and published, otherwise 0.", s => s.Reasons.Count == 0 ? 1 : 0);
        Gauge("custody.warnings", "{warning}", "What a keeper should look at; /ready names them.", s => s.Warnings.Count);
        using var timer = new PeriodicTimer(Pause);
        try
        {
            do
            {
                try
                {
                    latest = await readiness.Look(stopping);
                }
                catch (Exception thrown) when (thrown is NpgsqlException or IOException)
                {
                    // Gauges go silent rather than show what was.
                    latest = null;
                    Blind(log, thrown.GetType().Name);
                }
            }
            while (await timer.WaitForNextTickAsync(stopping));
        }
        catch (OperationCanceledException) when (stopping.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    void Gauge(string name, string unit, string says, Func<Standing, double?> value) => meter.CreateObservableGauge(
        name, () => latest is { } now && value(now) is { } at ? [new Measurement<double>(at)] : Enumerable.Empty<Measurement<double>>(), unit, says);

    public override void Dispose()
    {
        meter.Dispose();
        base.Dispose();
    }

    [LoggerMessage(1, LogLevel.Warning, "How the node stands cannot be looked at ({Kind})")]
    static partial void Blind(ILogger log, string kind);
}
