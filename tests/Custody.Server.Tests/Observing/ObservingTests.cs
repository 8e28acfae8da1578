using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Server.Auditing;
using Custody.Server.BackingUp;
using Custody.Server.Log;
using Custody.Server.Observing;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;
using Custody.Server.Web;
using Custody.Transparency;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Npgsql;
using OpenTelemetry;
using OpenTelemetry.Logs;
using OpenTelemetry.Metrics;
using OpenTelemetry.Trace;

namespace Custody.Server.Tests.Observing;

public sealed class ObservingTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>
{
    static readonly string[] Typed = ["Zenobia", "Quarrelstone", "Wickerlane", "walnut-coloured", "rack-of-secrets", "whispered-reason"];

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task What_is_sent_to_whoever_watches_names_nobody_and_holds_nothing_that_was_typed()
    {
        Collected collected = new();
        var place = new LedgerPlace("ledger.example", postgres.ConnectionString, Directory.CreateTempSubdirectory("custody-watched-").FullName, "w" + Guid.NewGuid().ToString("n")[..12]);
        await using var app = WebHost.Build(place, ["--urls", "http://127.0.0.1:0"], builder =>
        {
            builder.Logging.ClearProviders().SetMinimumLevel(LogLevel.Trace);
            Web.TestSignIn.AddTo(builder.Services);
            builder.AddTelemetry(
                t => t.AddProcessor(new SimpleActivityExportProcessor(collected.OfSpans)),
                m => m.AddReader(new BaseExportingMetricReader(collected.OfMetrics)),
                l => l.AddProcessor(new SimpleLogRecordExportProcessor(collected.OfLogs)));
        });
        await app.Services.PrepareDatabase(Ct);
        await app.StartAsync(Ct);
        using HttpClient http = new(new Web.AsWhoeverActs(new HttpClientHandler())) { BaseAddress = new(app.Urls.Single()) };
        PartyId party = new(LedgerForTests.Fresh("party"));
        var bat = LedgerForTests.Fresh("bat");
        var number = bat.Id[..7];
        var recorder = app.Services.GetRequiredService<Recorder>();
        Assert.IsType<Recorded>(await recorder.Record(party.Stream, new RecordParty(PartyKind.Person, "Zenobia Quarrelstone", null, "3 Wickerlane", null, null) { By = party }, new Request("whispered-reason"), Ct));
        Assert.IsType<Recorded>(await recorder.Record(bat, new RegisterBat(number + CheckCharacter.Compute(number), Arrival.BroughtIn, party, party, AssertionBasis.HoldersWord,
            [new(party, Fraction.Whole)], AssertionBasis.HoldersWord, "a walnut-coloured bat", null, null)
        { By = party }, new Request(), Ct));
        Assert.IsType<Refused>(await recorder.Record(bat, new ReceiveBat(1, null, Attestation.Account, SealFound.NoSeal, null, IdentityResult.NotChecked, null, null, "whispered-reason", null, null) { By = party }, new Request(), Ct));
        // Through the door too: good, refused, unreadable, unknown, searched for.
        foreach (var (path, body) in new[]
        {
            ($"/api/bats/{bat.Id}/move-bat", $$"""{"by":"{{party}}","reason":"storage","toPlace":"rack-of-secrets"}"""),
            ($"/api/bats/{bat.Id}/move-bat", """{"by":"Zenobia Quarrelstone","toPlace":"rack-of-secrets"}"""),
            ("/api/bats/Zenobia/move-bat", $$"""{"by":"{{party}}","reason":"storage"}"""),
        })
            using (await http.PostAsync(path, new StringContent(body, Encoding.UTF8, "application/json"), Ct)) { }
        foreach (var path in new[] { "/api/search?q=zenobia%20quarrelstone", $"/api/bats/{bat.Id}", $"/api/parties/{party.Stream.Id}/holdings", "/L/Zenobia", "/api/bats/Quarrelstone" })
            using (await http.GetAsync(new Uri(path, UriKind.Relative), Ct)) { }
        app.Services.GetRequiredService<MeterProvider>().ForceFlush();
        await app.StopAsync(Ct);

        Assert.Contains(collected.Spans, s => s.Contains("Npgsql", StringComparison.Ordinal));
        Assert.Contains(collected.Spans, s => s.Contains("url.path=/api/bats/{id}/move-bat", StringComparison.Ordinal));
        Assert.Contains(collected.Points, p => p.Contains("custody.acts custody.act=RegisterBat custody.outcome=recorded", StringComparison.Ordinal));
        Assert.Contains(collected.Points, p => p.Contains("custody.act=ReceiveBat custody.outcome=refused custody.refusal=", StringComparison.Ordinal));
        foreach (var gauge in new[] { "custody.sequencer.lag", "custody.log.size", "custody.disk.free", "custody.ready" })
            Assert.Contains(collected.Points, p => p.StartsWith("Custody " + gauge, StringComparison.Ordinal));
        Assert.NotEmpty(collected.Logs);
        foreach (var needle in Typed.Append(party.Stream.Id))
            Assert.DoesNotContain(collected.All, line => line.Contains(needle, StringComparison.OrdinalIgnoreCase));
        Directory.Delete(place.DataFolder, recursive: true);
    }

    [Fact]
    public async Task A_node_is_ready_when_it_sequences_and_says_every_reason_when_it_is_not()
    {
        await using var ledger = await LedgerForTests.Open(postgres);
        var readiness = ledger.Get<Readiness>();
        Assert.Equal(["No node is sequencing."], (await readiness.Look(Ct)).Reasons);
        await ledger.Get<Sequencer>().StartAsync(Ct);
        await ledger.Get<KeyHandover>().Published(Ct);
        var well = await readiness.Look(Ct);
        Assert.Empty(well.Reasons);
        Assert.Equal((0.0, true), (well.Lag, well.Published > 0));
        Assert.Contains(well.Warnings, w => w.StartsWith("No audit was ever recorded", StringComparison.Ordinal));

        var own = (await ledger.Get<Histories>().All("ledger", Ct))[0];
        var newest = (await ledger.Get<KeyHandover>().Published(Ct)).Checkpoint;
        Assert.IsType<Recorded>(await ledger.Recorder.Record(own, new RecordAudit(newest.Size, newest.Root.Text, AuditResult.NothingFound, 0, null, null, null) { By = PartyId.Ledger }, new Request(), Ct));
        ledger.Clock.Now += TimeSpan.FromHours(3);
        Assert.Equal(3 * 3600.0, (await readiness.Look(Ct)).AuditAge);
        ledger.Clock.Now += TimeSpan.FromDays(9);
        Assert.Contains((await readiness.Look(Ct)).Warnings, w => w.StartsWith("The last audit was recorded 9 days ago", StringComparison.Ordinal));
        ledger.Get<BackupStanding>().Fault = "The backup's folder cannot be read or written.";
        Assert.Contains("The backup's folder cannot be read or written.", (await readiness.Look(Ct)).Warnings);

        await ledger.Get<Sequencer>().StopAsync(Ct);
        await ledger.Party("Ada Quill");
        await ledger.Scalar($"alter table {ledger.Place.Schema}.mt_events disable trigger custody_events_put_back; alter table {ledger.Place.Schema}.mt_events disable trigger custody_events_stay");
        await ledger.Scalar($"update {ledger.Place.Schema}.mt_events set timestamp = timestamp - interval '5 minutes'");
        var reasons = (await readiness.Look(Ct)).Reasons;
        Assert.Contains("The trigger custody_events_stay is missing or disabled: what is recorded may miss the log.", reasons);
        Assert.Contains(reasons, r => r.StartsWith("Entries have waited 30", StringComparison.Ordinal));
        Assert.Contains("No node is sequencing.", reasons);
    }

    [Fact]
    public async Task A_node_without_its_database_is_not_ready_and_does_not_say_where_it_was_looked_for()
    {
        await using var ledger = await LedgerForTests.Open(postgres);
        await using var nowhere = NpgsqlDataSource.Create("Host=127.0.0.1;Port=1;Username=nobody;Database=none;Timeout=2");
        Readiness blind = new(ledger.Place, nowhere, new SequencerStanding(), new BackupStanding(), ledger.Get<Checkpoints>(), ledger.Get<Histories>(), TimeProvider.System);
        Assert.Equal(["The database does not answer."], (await blind.Look(Ct)).Reasons);
        var answer = await HealthEndpoint.Ready(blind, Ct);
        Assert.Equal(503, ((Microsoft.AspNetCore.Http.IStatusCodeHttpResult)answer).StatusCode);
    }
}
