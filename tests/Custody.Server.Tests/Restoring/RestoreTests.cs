using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Dossiers;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Restoring;
using Custody.Server.Tests.Auditing;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;
using Custody.Transparency;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;

namespace Custody.Server.Tests.Restoring;

/// <summary>The drill: a database is copied, more is recorded and published, the copy comes back. What the ledger promised still holds.</summary>
public sealed class RestoreTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    LedgerForTests before = null!;
    LedgerPlace restored = null!;
    DatabaseCopies copies = null!;
    PartyId owner = null!;
    PartyId house = null!;
    StreamName bat = null!;
    StreamName unknown = null!;
    Checkpoint published = null!;
    DossierContent earlier = null!;
    DossierContent ofUnknown = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        copies = new(postgres);
        before = await LedgerForTests.Open(postgres);
        await before.Get<Sequencer>().StartAsync(Ct);
        (owner, house) = (await before.Party("Ada Quill"), await before.Party("Bram Oake"));
        bat = await before.Bat(owner);
        await before.Get<KeyHandover>().Published(Ct);
        await before.Get<Sequencer>().StopAsync(Ct);
        // One act that the copy holds and that was not in the log yet.
        await Do(before, new MoveBat(MoveReason.Storage, null, "rack 12", null) { By = owner });
        restored = before.Place with { ConnectionString = await copies.Copy(before.Place.ConnectionString) };
        before.Get<NpgsqlDataSource>().Clear(); // its connections were cut off

        await before.Get<Sequencer>().StartAsync(Ct);
        await Do(before, LedgerForTests.Release(owner, house));
        await Do(before, new ReceiveBat(3, null, Attestation.Account, SealFound.NoSeal, null, IdentityResult.NotChecked, null, null, "a scratch", null, null) { By = house });
        unknown = await before.Bat(owner);
        await before.Party("Cora Finch");
        published = (await before.Get<KeyHandover>().Published(Ct)).Checkpoint;
        (earlier, ofUnknown) = (await Dossier(before, bat), await Dossier(before, unknown));
        published = (await before.Get<KeyHandover>().Published(Ct)).Checkpoint;
        await before.Get<Sequencer>().StopAsync(Ct);
    }

    [Fact]
    public async Task A_start_on_the_older_copy_is_refused_and_says_what_to_do()
    {
        var fault = await Assert.ThrowsAsync<LogFault>(() => Started());
        Assert.Equal("log-shorter", fault.Code);
        Assert.Contains("restore recover", fault.Message, StringComparison.Ordinal);
        // Nothing was recorded by the start itself.
        Assert.Equal(0L, await Scalar($"select count(*) from {restored.Schema}.mt_events e join {restored.Schema}.custody_pending p using (seq_id) where e.stream_id like 'ledger/%'"));
    }

    [Fact]
    public async Task The_lost_records_come_back_the_streams_go_on_and_every_dossier_still_checks()
    {
        var recovered = await Recover();
        Assert.Equal(1, recovered.Found);
        Assert.Equal([(bat.ToString(), 3L), (bat.ToString(), 4L)], recovered.Gone);
        Assert.True(recovered.Unnamed >= 2);
        await using var built = await Started();
        var after = built.GetRequiredService<LogDesk>();
        await built.GetRequiredService<Sequencer>().StartAsync(Ct);
        // The stream goes on at the lost n + 1, with the lost entry's hash before it.
        await Do(built, new MoveBat(MoveReason.Storage, null, "rack 13", null) { By = owner });
        var entries = await built.GetRequiredService<Histories>().Open(bat, Ct);
        Assert.Equal(5, entries.Count);
        Assert.Equal((5L, entries[3].Hash), (entries[4].N, entries[4].Envelope.Prev));
        Assert.Equal([typeof(EntryGone), typeof(EntryGone)], entries.Where(e => e.Fact is EntryGone).Select(e => e.Fact.GetType()));
        var newest = (await built.GetRequiredService<KeyHandover>().Published(Ct)).Checkpoint;
        // Consistent with what was signed before the loss.
        var hashes = built.GetRequiredService<TileFolder>().Hashes(newest.Size);
        Assert.True(Merkle.VerifyConsistency(published.Size, published.Root, newest.Size, newest.Root, Merkle.ConsistencyProof(published.Size, newest.Size, hashes)));
        var checks = Checks(await Dossier(built, bat), after.Key);
        Assert.DoesNotContain(checks, c => c.Result == CheckResult.Failed);
        Assert.Equal((CheckResult.NotChecked, CheckResult.NotChecked), (checks[9].Result, checks[10].Result));
        Assert.Contains("entry 3 is gone", checks[9].Reason, StringComparison.Ordinal);
        Assert.Contains("2 of them are gone", checks[2].Reason, StringComparison.Ordinal);
        // The dossier handed out before the loss says the same as ever.
        Assert.DoesNotContain(Checks(earlier, after.Key), c => c.Result == CheckResult.Failed);
        await built.GetRequiredService<Sequencer>().StopAsync(Ct);
        Assert.Equal([], (await AuditStage.Audit(restored, states: true)).Findings.Kept);
    }

    [Fact]
    public async Task An_entry_that_someones_dossier_still_has_is_put_back_and_no_other_bytes_are()
    {
        await Recover();
        await using var built = await Started();
        await built.GetRequiredService<Sequencer>().StartAsync(Ct);
        // Decided without the lost hand-over: the owner moves a bat that by then was with the house.
        await Do(built, new MoveBat(MoveReason.Storage, null, "rack 13", null) { By = owner });
        var back = await built.GetRequiredService<PuttingBack>().Run(earlier, Ct);
        Assert.Equal([(bat.ToString(), 3L), (bat.ToString(), 4L)], back.Entries);
        Assert.Empty(back.Others);
        Assert.Empty((await built.GetRequiredService<PuttingBack>().Run(earlier, Ct)).Entries);
        var entries = await built.GetRequiredService<Histories>().Shown(bat, Ct);
        Assert.IsType<BatReleased>(entries[2].Fact);
        // The owner showed it in the dossier, so the house has it again.
        Assert.Equal("a scratch", ((BatReceived)entries[3].Fact).Condition?.Value);
        var checks = Checks(await Dossier(built, bat), built.GetRequiredService<LogDesk>().Key);
        Assert.DoesNotContain(checks, c => c.Result == CheckResult.Failed);
        Assert.Equal(CheckResult.NotChecked, checks[9].Result);
        Assert.Contains("was decided while entry 3 was lost", checks[9].Reason, StringComparison.Ordinal);
        await built.GetRequiredService<Sequencer>().StopAsync(Ct);
        Assert.Equal([], (await AuditStage.Audit(restored, states: true)).Findings.Kept);
    }

    [Fact]
    public async Task A_bat_that_the_database_had_lost_altogether_comes_back_by_its_dossier()
    {
        await Recover();
        await using var built = await Started();
        await built.GetRequiredService<Sequencer>().StartAsync(Ct);
        var back = await built.GetRequiredService<PuttingBack>().Run(ofUnknown, Ct);
        Assert.Equal([(unknown.ToString(), 1L)], back.Entries);
        await built.GetRequiredService<KeyHandover>().Published(Ct);
        Assert.NotNull(await built.GetRequiredService<BatFinder>().Find(unknown.ToString(), Ct));
        Assert.DoesNotContain(Checks(await Dossier(built, unknown), built.GetRequiredService<LogDesk>().Key), c => c.Result == CheckResult.Failed);
        await built.GetRequiredService<Sequencer>().StopAsync(Ct);
        Assert.Equal([], (await AuditStage.Audit(restored, states: true)).Findings.Kept);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_change_of_key_that_was_lost_comes_back_from_beside_the_log_or_from_a_dossier_and_nothing_is_signed_before(bool isKept)
    {
        var old = before.Get<LogKeys>().Signer.Verifier;
        await before.Get<Sequencer>().StartAsync(Ct);
        var own = (await before.Get<Histories>().All("ledger", Ct))[0];
        Assert.IsType<Recorded>(await before.Get<KeyHandover>().Change(
            note => before.Recorder.Record(own, new RotateKey(note) { By = PartyId.Ledger }, new Request(), Ct), compromised: false, Ct));
        var present = before.Get<LogKeys>().Signer.Verifier;
        await Do(before, new MoveBat(MoveReason.Storage, null, "rack 14", null) { By = house });
        published = (await before.Get<KeyHandover>().Published(Ct)).Checkpoint;
        var since = await Dossier(before, bat);
        await before.Get<Sequencer>().StopAsync(Ct);
        var kept = Assert.Single(Directory.GetFiles(restored.Folder("log/key-entries")));
        if (!isKept) File.WriteAllText(kept, "not that entry");

        var recovered = await Recover();
        Assert.Equal(isKept ? 1 : 0, recovered.Kept);
        if (!isKept)
        {
            Assert.Equal("key-change-lost", (await Assert.ThrowsAsync<LogFault>(() => Started())).Code);
            await using var unstarted = Built(restored);
            Assert.Contains((await unstarted.GetRequiredService<PuttingBack>().Run(since, Ct)).Entries, e => e.Stream == own.ToString());
        }
        await using var built = await Started();
        Assert.Equal(present, built.GetRequiredService<LogKeys>().Signer.Verifier);
        await built.GetRequiredService<Sequencer>().StartAsync(Ct);
        var newest = await built.GetRequiredService<KeyHandover>().Published(Ct);
        Assert.True(newest.Checkpoint.Size > published.Size && SignedNote.Parse(System.Text.Encoding.UTF8.GetBytes(newest.Note)).Verify(present).Holds);
        if (isKept)
        {
            // The bat's own last entry is gone still: a dossier of it could not be recorded, and is refused by name until something is recorded again.
            var (_, refused) = await built.GetRequiredService<DossierDesk>().Write(
                (await built.GetRequiredService<BatFinder>().Find(bat.ToString(), Ct))!, Reveal.Nothing, EarlierHistories.None, Path.Combine(restored.DataFolder, "out"), null, owner, Ct);
            Assert.Equal("last-entry-gone", refused?.Code);
            await Do(built, new MoveBat(MoveReason.Storage, null, "rack 15", null) { By = owner });
            await built.GetRequiredService<KeyHandover>().Published(Ct);
        }
        // Whoever trusts the first key follows to the second, in the old dossier and in a new one.
        foreach (var dossier in new[] { since, await Dossier(built, bat) }) Assert.DoesNotContain(Checks(dossier, old), c => c.Result == CheckResult.Failed);
        await built.GetRequiredService<Sequencer>().StopAsync(Ct);
        Assert.Equal([], (await AuditStage.Audit(restored, states: true)).Findings.Kept);
    }

    [Fact]
    public async Task The_database_itself_lets_only_the_logged_bytes_take_the_place_of_what_is_gone()
    {
        await Recover();
        foreach (var sql in new[]
        {
            $"update {restored.Schema}.mt_events set bdata = 'x' where stream_id = '{bat}' and version = 3",
            $"update {restored.Schema}.mt_events set version = 9 where stream_id = '{bat}' and version = 3",
            $"update {restored.Schema}.mt_events set bdata = bdata where stream_id = '{bat}' and version = 1",
            $"update {restored.Schema}.custody_leaf set n = 9 where stream = '{bat}' and n = 3",
            $"update {restored.Schema}.custody_leaf set hash = sha256('x') where stream is null",
        })
            await Assert.ThrowsAsync<PostgresException>(() => Scalar(sql));
    }

    [Fact]
    public async Task An_entry_recorded_after_the_restore_in_a_published_place_stops_the_recovery()
    {
        // Somebody went round the refusal of the start.
        await copies.AsAdmin(restored.ConnectionString,
            $"set session_replication_role = replica; insert into {restored.Schema}.mt_events (seq_id, id, stream_id, version, data, bdata, type) select 9999, gen_random_uuid(), stream_id, 3, data, bdata, type from {restored.Schema}.mt_events where stream_id = '{bat}' and version = 1");
        Assert.Equal("recorded-since", (await Assert.ThrowsAsync<LogFault>(Recover)).Code);
    }

    [Fact]
    public async Task A_database_that_lost_nothing_is_not_recovered()
    {
        await using var whole = Built(before.Place);
        Assert.Equal("nothing-lost", (await Assert.ThrowsAsync<LogFault>(() => whole.GetRequiredService<Recovery>().Run(null, Ct))).Code);
    }

    async Task<Custody.Server.Restoring.Recovered> Recover()
    {
        await using var built = Built(restored);
        await built.PrepareTables(Ct);
        return await built.GetRequiredService<Recovery>().Run("the disk failed", Ct);
    }

    async Task<ServiceProvider> Started()
    {
        var built = Built(restored);
        try
        {
            await built.PrepareDatabase(Ct);
            return built;
        }
        catch
        {
            await built.DisposeAsync();
            throw;
        }
    }

    static ServiceProvider Built(LedgerPlace place)
    {
        ServiceCollection services = new();
        services.AddLogging();
        services.AddSingleton<TimeProvider>(new FakeClock());
        services.AddLedger(place);
        return services.BuildServiceProvider();
    }

    Task Do(LedgerForTests ledger, BatCommand act) => Do(ledger.Recorder, act);

    Task Do(ServiceProvider built, BatCommand act) => Do(built.GetRequiredService<Recorder>(), act);

    async Task Do(Recorder recorder, BatCommand act)
    {
        var outcome = await recorder.Record(bat, act, new Request(), Ct);
        Assert.True(outcome is Recorded, outcome is Refused refused ? refused.Refusals[0].ToString() : outcome.ToString());
    }

    Task<DossierContent> Dossier(LedgerForTests ledger, StreamName of) => Dossier(ledger.Get<BatFinder>(), ledger.Get<DossierDesk>(), of);

    Task<DossierContent> Dossier(ServiceProvider built, StreamName of) => Dossier(built.GetRequiredService<BatFinder>(), built.GetRequiredService<DossierDesk>(), of);

    async Task<DossierContent> Dossier(BatFinder finder, DossierDesk desk, StreamName of)
    {
        var state = (await finder.Find(of.ToString(), Ct))!;
        var (done, refused) = await desk.Write(state, Reveal.Parse(["all"]), EarlierHistories.None, Path.Combine(restored.DataFolder, "out"), null, owner, Ct);
        Assert.True(done is not null, refused?.Sentence);
        return DossierReader.Read(new MemoryStream(await File.ReadAllBytesAsync(done.Path, Ct)));
    }

    static IReadOnlyList<Check> Checks(DossierContent dossier, VerifierKey key) =>
        Checker.Run(dossier, new Expected([key], null, new DateTimeOffset(2024, 3, 2, 0, 0, 0, TimeSpan.Zero))).Checks;

    async Task<object?> Scalar(string sql)
    {
        await using var connection = new NpgsqlConnection(restored.ConnectionString);
        await connection.OpenAsync(Ct);
        await using var command = new NpgsqlCommand(sql, connection);
        return await command.ExecuteScalarAsync(Ct);
    }

    public async ValueTask DisposeAsync()
    {
        await before.DisposeAsync();
        await copies.Drop(restored.ConnectionString);
    }
}
