using Custody.Bats;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;
using Custody.Server.Web;
using Custody.Transparency;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Log;

/// <summary>The real server on a port of the loopback interface, its sequencer at work.</summary>
public sealed class LogServer : IAsyncDisposable
{
    readonly WebApplication app;

    LogServer(WebApplication app, LedgerPlace place) => (this.app, Place, Http) = (app, place, new HttpClient { BaseAddress = new(app.Urls.Single()) });

    public LedgerPlace Place { get; }

    public HttpClient Http { get; }

    public string Url => app.Urls.Single();

    public LogDesk Desk => app.Services.GetRequiredService<LogDesk>();

    public T Get<T>() where T : notnull => app.Services.GetRequiredService<T>();

    /// <summary>Where the log's files stand.</summary>
    public string Folder => Place.Folder("log");

    public static async Task<LogServer> Start(PostgresForTests postgres, CancellationToken ct, string origin = "ledger.example", string? keys = null)
    {
        var place = new LedgerPlace(origin, postgres.ConnectionString, Directory.CreateTempSubdirectory("custody-log-").FullName, "w" + Guid.NewGuid().ToString("n")[..12]);
        if (keys is not null)
        {
            // Another ledger's keys: a second history under the same name.
            var own = Directory.CreateDirectory(place.Folder("keys/log")).FullName;
            foreach (var file in Directory.GetFiles(keys)) File.Copy(file, Path.Combine(own, Path.GetFileName(file)));
        }
        return await On(place, ct);
    }

    /// <summary>A ledger that is there already, or begins here.</summary>
    public static async Task<LogServer> On(LedgerPlace place, CancellationToken ct)
    {
        var app = WebHost.Build(place, ["--urls", "http://127.0.0.1:0"]);
        await app.Services.PrepareDatabase(ct);
        await app.StartAsync(ct);
        return new(app, place);
    }

    /// <summary>Records parties and waits until they are under a checkpoint.</summary>
    /// <returns>The last one's stream.</returns>
    public async Task<StreamName> Add(int parties, CancellationToken ct)
    {
        var recorder = app.Services.GetRequiredService<Recorder>();
        StreamName last = null!;
        for (var i = 0; i < parties; i++)
        {
            var party = new PartyId(last = LedgerForTests.Fresh("party"));
            Assert.IsType<Recorded>(await recorder.Record(last, new RecordParty(PartyKind.Person, $"Person {i}", null, null, null, null) { By = party }, new Request(), ct));
        }
        await Desk.Covering(last.ToString(), 1, TimeSpan.FromSeconds(30), ct);
        return last;
    }

    /// <summary>Stops ordering entries, so that a test can put other files in the log's place.</summary>
    public Task Rest(CancellationToken ct) => app.Services.GetRequiredService<Sequencer>().StopAsync(ct);

    /// <summary>Stops the server; what it stored stays.</summary>
    public async Task Halt()
    {
        Http.Dispose();
        await app.StopAsync();
        await app.DisposeAsync();
    }

    public async ValueTask DisposeAsync()
    {
        await Halt();
        Directory.Delete(Place.DataFolder, recursive: true);
    }
}
