using System.Collections.Concurrent;
using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Server.Finding;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Web;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace Custody.Server.Tests.Web;

/// <summary>The real server on a port of the loopback interface, and everything it logs.</summary>
sealed class RunningHouse : IAsyncDisposable
{
    readonly WebApplication app;
    readonly Written log;

    RunningHouse(WebApplication app, LedgerPlace place, Written log)
    {
        (this.app, Place, this.log) = (app, place, log);
        // As it was sent: no redirects followed, no cookies kept.
        Http = new(new AsWhoeverActs(new HttpClientHandler { AllowAutoRedirect = false, UseCookies = false })) { BaseAddress = new(Url) };
    }

    public LedgerPlace Place { get; }
    public HttpClient Http { get; }
    public string Url => app.Urls.Single();
    public string Logged => string.Join('\n', log.Lines);

    public T Get<T>() where T : notnull => app.Services.GetRequiredService<T>();

    public static async Task<RunningHouse> Start(string connection, CancellationToken ct, TimeProvider? clock = null, Action<WebApplicationBuilder>? more = null, string? owner = null)
    {
        var place = new LedgerPlace("ledger.example", connection, Directory.CreateTempSubdirectory("custody-house-").FullName, "h" + Guid.NewGuid().ToString("n")[..12], owner);
        await Custody.Server.Operating.Serving.MakeMessages(place, ct);
        var log = new Written();
        var app = WebHost.Build(place, ["--urls", "http://127.0.0.1:0"], builder =>
        {
            builder.Logging.ClearProviders().AddProvider(log).SetMinimumLevel(LogLevel.Trace);
            if (clock is not null) builder.Services.AddSingleton(clock);
            TestSignIn.AddTo(builder.Services);
            more?.Invoke(builder);
        });
        await app.Services.PrepareDatabase(ct);
        await app.StartAsync(ct);
        return new(app, place, log);
    }

    static StreamName Fresh(string kind) => StreamName.Parse($"{kind}/{Custody.Transparency.Crockford.Encode(System.Security.Cryptography.RandomNumberGenerator.GetBytes(16))}");

    public async Task<PartyId> Party(string name, PartyKind kind = PartyKind.Person, string? address = null)
    {
        var party = new PartyId(Fresh("party"));
        await Do(party.Stream, new RecordParty(kind, name, null, address, null, null) { By = party });
        return party;
    }

    /// <summary>A bat whose owner has it, unless somebody else keeps it.</summary>
    public async Task<StreamName> Bat(PartyId owner, PartyId? keeper = null, string? description = "a bat with a taped handle", string? place = null)
    {
        var bat = Fresh("bat");
        var number = bat.Id[..7];
        await Do(bat, new RegisterBat(
            number + Custody.Transparency.CheckCharacter.Compute(number), Arrival.BroughtIn, owner, keeper ?? owner, AssertionBasis.HoldersWord,
            [new(owner, Fraction.Whole)], AssertionBasis.HoldersWord, description, place, null)
        { By = keeper ?? owner });
        return bat;
    }

    /// <summary>Records an act that the rules must permit.</summary>
    public async Task<IReadOnlyList<EntryAnswer>> Do(StreamName stream, Command command)
    {
        var outcome = await Get<Recorder>().Record(stream, command, new Request(), CancellationToken.None);
        Assert.True(outcome is Recorded, outcome is Refused refused ? refused.Refusals[0].ToString() : outcome.ToString());
        return ((Recorded)outcome).Entries;
    }

    /// <summary>Waits until everything recorded on a stream is under a published checkpoint.</summary>
    public async Task Published(StreamName stream) =>
        await Get<LogDesk>().Covering(stream.ToString(), (await Get<Histories>().Load(stream, default)).Bytes.Count, TimeSpan.FromSeconds(30), default);

    /// <summary>Waits until the search index has followed the log to its end.</summary>
    public async Task Indexed()
    {
        while (Convert.ToInt64(await Scalar($"select count(*) from {Place.Schema}.custody_pending"), null) > 0) await Task.Delay(20);
        while (Convert.ToInt64(await Scalar($"select coalesce(max(size), 0) from {Place.Schema}.custody_search_progress"), null) < await Get<Leaves>().Size(default))
            await Get<SearchIndex>().Follow(default);
    }

    public async Task<object?> Scalar(string sql)
    {
        await using var command = Get<Npgsql.NpgsqlDataSource>().CreateCommand(sql);
        return await command.ExecuteScalarAsync();
    }

    public Task<HttpResponseMessage> Send(string path, string json) => Http.PostAsync(path, new StringContent(json, Encoding.UTF8, "application/json"));

    public static async Task<JsonNode> Answer(HttpResponseMessage answer, HttpStatusCode expected = HttpStatusCode.OK)
    {
        var text = await answer.Content.ReadAsStringAsync();
        Assert.True(answer.StatusCode == expected, $"{(int)answer.StatusCode} {text}");
        return JsonNode.Parse(text)!;
    }

    public static async Task<string> Code(HttpResponseMessage answer, HttpStatusCode expected) => (string)(await Answer(answer, expected))["code"]!;

    public async ValueTask DisposeAsync()
    {
        Http.Dispose();
        await app.StopAsync();
        await app.DisposeAsync();
        Directory.Delete(Place.DataFolder, recursive: true);
    }

    /// <summary>Keeps every line that is logged, at any level.</summary>
    sealed class Written : ILoggerProvider, ILogger
    {
        public ConcurrentQueue<string> Lines { get; } = [];

        public ILogger CreateLogger(string categoryName) => this;

        // What surrounds a line is not written, as the console does not write it either.
        public IDisposable? BeginScope<TState>(TState state) where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel level, EventId id, TState state, Exception? exception, Func<TState, Exception?, string> format) =>
            Lines.Enqueue(format(state, exception) + exception);

        public void Dispose()
        {
        }
    }
}
