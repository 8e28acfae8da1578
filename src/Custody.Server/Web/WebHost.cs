using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Configuring;
using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Server.Observing;
using Custody.Server.Recording;
using Custody.Server.Stamping;
using Custody.Server.Web.Pages;
using JasperFx;
using JasperFx.CodeGeneration;
using JasperFx.Core;
using JasperFx.Resources;
using Wolverine;
using Wolverine.ErrorHandling;
using Wolverine.Http;
using Wolverine.Marten;

namespace Custody.Server.Web;

/// <summary>Puts the server together: recording, log, pages and API over one ledger.</summary>
static class WebHost
{
    public static WebApplication Build(LedgerPlace place, string[] args, Action<WebApplicationBuilder>? more = null)
    {
        var builder = WebApplication.CreateBuilder(new WebApplicationOptions { Args = args, ApplicationName = typeof(WebHost).Assembly.GetName().Name });
        // What the frameworks say of themselves drowns what a keeper must see, and SQL logged in full could carry values.
        foreach (var noisy in new[] { "Marten", "Wolverine", "Weasel", "JasperFx", "Npgsql", "Microsoft.AspNetCore", "Microsoft.EntityFrameworkCore" }) builder.Logging.AddFilter(noisy, LogLevel.Warning);
        builder.Services.AddSingleton(TimeProvider.System);
        builder.Services.AddLedger(place).IntegrateWithWolverine(messages => messages.MessageStorageSchemaName = place.Messages);
        builder.Services.AddResourceSetupOnStartup();
        builder.Services.AddSingleton<ActDoor>();
        builder.Services.AddHostedService(s => s.GetRequiredService<Sequencer>());
        builder.Services.AddSingularAgent<Finding.SearchFollower>();
        builder.Services.AddHostedService<IndependentTimes>();
        builder.Services.AddHostedService<BackingUp.BackupFollower>();
        builder.Services.AddSingleton<Auditing.AuditDesk>();
        builder.Services.AddHostedService(s => s.GetRequiredService<Auditing.AuditDesk>());
        builder.Services.AddOpenApi(ApiDescription.Configure);
        builder.Services.ConfigureHttpJsonOptions(options => JsonText.Configure(options.SerializerOptions));
        builder.Services.AddWolverineHttp();
        builder.Services.AddPages();
        builder.Services.AddSignIn();
        builder.Services.AddLimits();
        builder.Host.UseWolverine(options =>
        {
            options.ApplicationAssembly = typeof(WebHost).Assembly;
            options.CodeGeneration.TypeLoadMode = Settings.CodeGeneration.In(Environment.GetEnvironmentVariable) is null ? TypeLoadMode.Static : TypeLoadMode.Dynamic;
            options.Policies.UseDurableLocalQueues();
            OthersGoOn(options.Durability);
            // Tried a few times and then let go: the next due stamp is of a larger tree anyway.
            options.Policies.OnException<OutsideFault>().ScheduleRetry(10.Seconds(), 1.Minutes(), 10.Minutes()).Then.Discard();
        });
        builder.AddTelemetry();
        more?.Invoke(builder);
        var app = builder.Build();
        app.UseForwardedHeaders(BehindProxy.Options(Settings.Proxies.In(Environment.GetEnvironmentVariable)));
        app.UseMiddleware<SafeHeaders>();
        app.UseResponseCompression();
        app.UsePages();
        app.UseRouting();
        app.UseRateLimiter();
        app.UseAuthentication();
        app.UseAuthorization();
        app.UseMiddleware<FromOurPages>();
        app.UseMiddleware<OwnBatsOnly>();
        app.UseMiddleware<StrictQuery>();
        app.UseMiddleware<StrictBody>();
        app.MapLogFiles();
        app.MapCosigning();
        app.MapAssets();
        app.MapRazorPages();
        // Without an endpoint the rule for what names nobody would send everybody who mistypes an address to sign in.
        app.MapFallback(() => Results.NotFound()).WithMetadata(new Anybody());
        app.MapOpenApi("/api/openapi.json").WithMetadata(new Anybody());
        app.MapWolverineEndpoints(options => options.ConfigureEndpoints(ApiDescription.Describe));
        return app;
    }

    /// <summary>When a node dies, the others have its work within 10 seconds; Wolverine's own pace takes a minute. Three beats must be missed, so that a pause of the
    /// machine does not pass for a death.</summary>
    static void OthersGoOn(DurabilitySettings durability)
    {
        durability.FirstHealthCheckExecution = 500.Milliseconds();
        durability.HealthCheckPollingTime = 1.Seconds();
        durability.StaleNodeTimeout = 4.Seconds();
        durability.CheckAssignmentPeriod = 2.Seconds();
        durability.FirstNodeReassignmentExecution = 1.Seconds();
        durability.NodeReassignmentPollingTime = 2.Seconds();
    }
}
