using System.Diagnostics;
using Npgsql;
using OpenTelemetry;
using OpenTelemetry.Logs;
using OpenTelemetry.Metrics;
using OpenTelemetry.Resources;
using OpenTelemetry.Trace;

namespace Custody.Server.Observing;

/// <summary>Traces, metrics and logs for whoever watches the machine (OpenTelemetry), sent only where OTEL_EXPORTER_OTLP_ENDPOINT says. Nothing about
/// anybody is in them: addresses are told by their route, because a label's address or a search names a bat or a person; values of statements are never told.</summary>
static class Telemetry
{
    /// <summary>The standard's own variable; without it nothing is sent and nothing listens.</summary>
    public const string EndpointVariable = "OTEL_EXPORTER_OTLP_ENDPOINT";

    public static void AddTelemetry(this WebApplicationBuilder builder)
    {
        if (string.IsNullOrWhiteSpace(Environment.GetEnvironmentVariable(EndpointVariable))) return;
        builder.AddTelemetry(t => t.AddOtlpExporter(), m => m.AddOtlpExporter(), l => l.AddOtlpExporter());
    }

    /// <param name="traces">Where traces go.</param>
    /// <param name="metrics">Where metrics go.</param>
    /// <param name="logs">Where logs go.</param>
    public static void AddTelemetry(this WebApplicationBuilder builder, Action<TracerProviderBuilder> traces, Action<MeterProviderBuilder> metrics, Action<OpenTelemetryLoggerOptions> logs)
    {
        builder.Services.AddHostedService<StandingWatch>();
        builder.Services.AddOpenTelemetry()
            .ConfigureResource(r => r.AddService("custody", serviceVersion: typeof(Telemetry).Assembly.GetName().Version?.ToString()))
            .WithTracing(tracing =>
            {
                tracing.AddAspNetCoreInstrumentation(http => http.EnrichWithHttpResponse = (activity, _) => ByRoute(activity)).AddNpgsql();
                traces(tracing);
            })
            .WithMetrics(metering =>
            {
                metering.AddMeter(Meters.Name, "Microsoft.AspNetCore.Hosting", "Microsoft.AspNetCore.Server.Kestrel", "Npgsql", "System.Runtime");
                metrics(metering);
            });
        builder.Logging.AddOpenTelemetry(logging =>
        {
            // Scopes carry the address asked for.
            (logging.IncludeScopes, logging.IncludeFormattedMessage) = (false, true);
            logs(logging);
        });
    }

    static void ByRoute(Activity activity)
    {
        activity.SetTag("url.path", activity.GetTagItem("http.route") ?? "(no route)");
        activity.SetTag("url.query", null);
        activity.SetTag("user_agent.original", null);
        activity.SetTag("client.address", null);
        activity.SetTag("network.peer.address", null);
    }
}
