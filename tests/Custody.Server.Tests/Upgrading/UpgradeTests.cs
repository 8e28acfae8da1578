using System.IO.Compression;
using Custody.Bats;
using Custody.Server.Auditing;
using Custody.Server.Finding;
using Custody.Server.Log;
using Custody.Server.Operating;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;

namespace Custody.Server.Tests.Upgrading;

/// <summary>A ledger that an earlier version wrote, kept as it left it: dump of its database, log, keys and photographs (<c>earlier-1.zip</c>; before there were
/// accounts, shared dossiers, transfers and drafts). Two people, two bats, a hand-over, a photograph, a paper, a hold and a label.</summary>
public sealed class UpgradeTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IDisposable
{
    readonly string folder = Directory.CreateTempSubdirectory("custody-earlier-").FullName;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_ledger_that_an_earlier_version_wrote_is_taken_up_and_audited_clean_and_goes_on()
    {
        var place = await Bring();
        await using var services = CommandServices(place);
        await services.PrepareDatabase(Ct);
        while (await services.GetRequiredService<SearchIndex>().Follow(Ct) > 0) { }
        await Clean(services, entries: 17);
        await services.GetRequiredService<Custody.Server.Recording.Rebuilding>().All(_ => { }, Ct);
        await Clean(services, entries: 17);
        // What was withheld then is opened with the keys of then, and found by its words.
        var found = Assert.Single(await services.GetRequiredService<SearchIndex>().Find("taped", Ct), s => s.Kind == "bat");
        // A rule still stands on what was recorded then, and a new entry stands on the old ones.
        var recorder = services.GetRequiredService<Recorder>();
        var holder = await services.GetRequiredService<BatFinder>().Behind(found, new Alias(2), Ct);
        var move = new MoveBat(MoveReason.Storage, null, "rack 7", null) { By = holder! };
        var sequencer = services.GetRequiredService<Sequencer>();
        await sequencer.StartAsync(Ct);
        var recorded = Assert.IsType<Recorded>(await recorder.Record(found, move, new Request(), Ct));
        await services.GetRequiredService<LogDesk>().Covering(found.ToString(), recorded.Entries[0].N, TimeSpan.FromSeconds(30), Ct);
        await sequencer.StopAsync(Ct);
        await Clean(services, entries: 18);
    }

    [Fact]
    public async Task Search_words_of_an_earlier_form_are_told_by_the_audit_and_made_again_by_the_next_start()
    {
        var place = await Bring();
        await using var services = CommandServices(place);
        await services.PrepareDatabase(Ct);
        var index = services.GetRequiredService<SearchIndex>();
        while (await index.Follow(Ct) > 0) { }
        await Sql(services, "comment on table custody.custody_search_progress is 'form 1'; update custody.custody_search set words = 'o1'::tsvector");
        Assert.Equal(["search-form"], (await Audit(services)).Findings.Kept.Where(f => f.Code.StartsWith("search", StringComparison.Ordinal)).Select(f => f.Code));
        await services.PrepareDatabase(Ct);
        while (await index.Follow(Ct) > 0) { }
        Assert.Single(await index.Find("taped", Ct), s => s.Kind == "bat");
        await Clean(services, entries: 17);
    }

    static async Task Sql(ServiceProvider services, string sql)
    {
        await using var command = services.GetRequiredService<NpgsqlDataSource>().CreateCommand(sql);
        await command.ExecuteNonQueryAsync(Ct);
    }

    static Task<AuditReport> Audit(ServiceProvider services) => services.GetRequiredService<Auditor>().Run(new AuditScope(Values: true, States: true), new Progress<string>(), Ct);

    async Task<LedgerPlace> Bring()
    {
        // Two tests share the database, each with the ledger as it was.
        await using (NpgsqlConnection before = new(postgres.ConnectionString))
        {
            await before.OpenAsync(Ct);
            await using NpgsqlCommand drop = new("drop schema if exists custody cascade; drop schema if exists custody_messages cascade; drop schema if exists custody_accounts cascade", before);
            await drop.ExecuteNonQueryAsync(Ct);
            NpgsqlConnection.ClearPool(before);
        }
        ZipFile.ExtractToDirectory(Path.Combine(Custody.Tests.SourceTree.Root, "tests", "Custody.Server.Tests", "Upgrading", "earlier-1.zip"), folder);
        var data = Path.Combine(folder, "data");
        // An archive of this kind keeps no modes.
        if (!OperatingSystem.IsWindows())
        {
            foreach (var key in Directory.GetFiles(Path.Combine(data, "keys"), "*", SearchOption.AllDirectories)) File.SetUnixFileMode(key, UnixFileMode.UserRead | UnixFileMode.UserWrite);
            foreach (var inner in Directory.GetDirectories(Path.Combine(data, "keys"), "*", SearchOption.AllDirectories)) File.SetUnixFileMode(inner, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        }
        // Not pooled: the dump changes the connection's settings.
        await using NpgsqlConnection connection = new(new NpgsqlConnectionStringBuilder(postgres.ConnectionString) { Pooling = false }.ConnectionString);
        await connection.OpenAsync(Ct);
        await using NpgsqlCommand dump = new(await File.ReadAllTextAsync(Path.Combine(folder, "database.sql"), Ct), connection);
        await dump.ExecuteNonQueryAsync(Ct);
        return Serving.PlaceIn(new DirectoryInfo(data), postgres.ConnectionString);
    }

    static ServiceProvider CommandServices(LedgerPlace place) => OpenedLedger.Build(place, TimeProvider.System);

    static async Task Clean(ServiceProvider services, long entries)
    {
        var report = await Audit(services);
        Assert.Empty(report.Findings.Kept.Where(f => f.IsFault).Select(f => f.ToString()));
        Assert.Equal((entries, entries), (report.Events, report.Size));
        Assert.True(report is { Photographs: > 0, Values: > 20, States: > 3 });
    }

    public void Dispose() => Directory.Delete(folder, recursive: true);
}
