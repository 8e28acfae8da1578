using System.CommandLine;
using Custody.Server.Recording;
using Custody.Server.Web;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating.Demo;

/// <summary>The command <c>demo</c>.</summary>
static class DemoCommand
{
    /// <param name="data">The option that names the data folder, common to all commands.</param>
    public static Command Make(Option<DirectoryInfo> data)
    {
        Option<DirectoryInfo> output = new("--out") { Description = "Folder for dossiers and labels.", DefaultValueFactory = _ => new DirectoryInfo("out") };
        Option<DirectoryInfo> events = new("--events")
        {
            Description = "Folder of the story.",
            DefaultValueFactory = _ => new DirectoryInfo(Path.Combine(AppContext.BaseDirectory, "demo-events")),
        };
        Option<bool> serve = new("--serve") { Description = "Stay up on http://127.0.0.1:5080 afterwards." };
        var demo = new Command("demo", "Tell the story of an invented world's bats, write and check their dossiers. Run twice, nothing is recorded twice.") { data, output, events, serve };
        demo.SetAction((parsed, ct) => Run(parsed.GetValue(data)!, parsed.GetValue(output)!, parsed.GetValue(events)!, parsed.GetValue(serve), ct));
        return demo;
    }

    static async Task<int> Run(DirectoryInfo data, DirectoryInfo output, DirectoryInfo events, bool serve, CancellationToken ct)
    {
        try
        {
            var script = DemoScript.Read(events.FullName);
            await using var postgres = await Serving.Postgres(data, ct);
            DemoRun run = new(script, output, Console.Out);
            var code = await run.Run(data, postgres.ConnectionString, ct);
            if (serve && code == 0) await Serve(data, postgres.ConnectionString, run.Memory!, ct);
            return code;
        }
        catch (DemoFault fault)
        {
            await Console.Error.WriteLineAsync(fault.Message);
            return 1;
        }
    }

    static async Task Serve(DirectoryInfo data, string connection, DemoMemory memory, CancellationToken ct)
    {
        var place = DemoHouse.All[0].Place(data, connection);
        await using var app = WebHost.Build(place, ["--urls", "http://127.0.0.1:5080"]);
        await app.Services.PrepareDatabase(ct);
        await DemoAccounts.Make(app.Services, data.FullName, memory, Console.Out, ct);
        await Console.Out.WriteLineAsync($"{place.Origin} answers on http://127.0.0.1:5080. Stop with Ctrl+C.");
        await app.RunAsync(ct);
    }
}
