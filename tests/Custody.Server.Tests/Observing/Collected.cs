using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using OpenTelemetry;
using OpenTelemetry.Logs;
using OpenTelemetry.Metrics;

namespace Custody.Server.Tests.Observing;

/// <summary>Everything that would be sent to whoever watches, as text: one line for each span, measurement and log line with all it carries.</summary>
sealed class Collected
{
    public ConcurrentQueue<string> Spans { get; } = [];
    public ConcurrentQueue<string> Points { get; } = [];
    public ConcurrentQueue<string> Logs { get; } = [];

    public IEnumerable<string> All => Spans.Concat(Points).Concat(Logs);

    public BaseExporter<Activity> OfSpans => new Exporter<Activity>(a => Spans.Enqueue(
        $"{a.Source.Name} {a.DisplayName} {a.StatusDescription} {Tags(a.TagObjects)} {string.Join(' ', a.Events.Select(e => $"{e.Name} {Tags(e.Tags)}"))} {Tags(a.Baggage.Select(b => new KeyValuePair<string, object?>(b.Key, b.Value)))}"));

    public BaseExporter<Metric> OfMetrics => new Exporter<Metric>(m =>
    {
        foreach (ref readonly var point in m.GetMetricPoints())
        {
            List<string> tags = [];
            foreach (var tag in point.Tags) tags.Add($"{tag.Key}={tag.Value}");
            Points.Enqueue($"{m.MeterName} {m.Name} {string.Join(' ', tags)}{(m.MetricType == MetricType.LongSum ? " sum " + point.GetSumLong().ToString(CultureInfo.InvariantCulture) : "")}");
        }
    });

    public BaseExporter<LogRecord> OfLogs => new Exporter<LogRecord>(l => Logs.Enqueue($"{l.CategoryName} {l.FormattedMessage} {l.Body} {Tags(l.Attributes ?? [])} {l.Exception}"));

    static string Tags(IEnumerable<KeyValuePair<string, object?>> tags) => string.Join(' ', tags.Select(t => $"{t.Key}={t.Value}"));

    sealed class Exporter<T>(Action<T> take) : BaseExporter<T> where T : class
    {
        public override ExportResult Export(in Batch<T> batch)
        {
            foreach (var one in batch) take(one);
            return ExportResult.Success;
        }
    }
}
