using Custody.Bats;
using Custody.Server.Log;
using Custody.Server.Recording;
using JasperFx;
using JasperFx.CodeGeneration;
using Wolverine;
using Wolverine.Http;
using Wolverine.Marten;

namespace Custody.Server.Web;

/// <summary>Puts the server together: recording, log, pages and API over one ledger.</summary>
static class WebHost
{
    public static WebApplication Build(LedgerPlace place, string[] args, Action<WebApplicationBuilder>? more = null)
    {
        var builder = WebApplication.CreateBuilder(new WebApplicationOptions { Args = args, ApplicationName = typeof(WebHost).Assembly.GetName().Name });
        builder.Services.AddSingleton(TimeProvider.System);
        builder.Services.AddLedger(place);
        builder.Services.AddSingleton<ActDoor>();
        builder.Services.AddHostedService(s => s.GetRequiredService<Sequencer>());
        builder.Services.AddOpenApi();
        builder.Services.ConfigureHttpJsonOptions(options => JsonText.Configure(options.SerializerOptions));
        builder.Services.AddWolverineHttp();
        builder.Host.UseWolverine(options =>
        {
            options.ApplicationAssembly = typeof(WebHost).Assembly;
            options.CodeGeneration.TypeLoadMode = Environment.GetEnvironmentVariable("CUSTODY_CODEGEN") is null ? TypeLoadMode.Static : TypeLoadMode.Dynamic;
            options.Policies.UseDurableLocalQueues();
        });
        more?.Invoke(builder);
        var app = builder.Build();
        app.UseRouting();
        app.UseMiddleware<StrictBody>();
        app.MapOpenApi("/api/openapi.json");
        app.MapWolverineEndpoints();
        return app;
    }
}
