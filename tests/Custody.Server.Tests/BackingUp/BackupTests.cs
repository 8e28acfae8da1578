using Custody.Bats;
using Custody.Server.BackingUp;
using Custody.Server.Database;
using Custody.Server.Log;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Server.Restoring;
using Custody.Server.Tests.Auditing;
using Custody.Transparency;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.BackingUp;

/// <summary>The restore drill, on a real cluster with a real archive.</summary>
public sealed class BackupTests(BackupStage stage) : IClassFixture<BackupStage>
{
    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task What_was_recorded_after_the_base_backup_comes_back_and_the_log_goes_on_from_what_was_seen()
    {
        await using var back = await stage.Restore();
        await using var ledger = back.Built();
        Assert.Equal("restore-unconfirmed", await WhyNotStarted(ledger));
        var borne = await ledger.GetRequiredService<Confirming>().Run([stage.Seen], alone: false, Ct);
        Assert.Equal(new BorneOut(stage.Last.Size, 0, 1), borne);
        Assert.Null(await WhyNotStarted(ledger));
        Assert.Equal(3, (await ledger.GetRequiredService<Histories>().Open(stage.Bat, Ct)).Count);
        await GoesOn(ledger, back);
    }

    [Fact]
    public async Task A_moment_before_the_end_loses_the_tail_which_is_said_recovered_and_never_given_twice()
    {
        await using var back = await stage.Restore(stage.Moment);
        await using var ledger = back.Built();
        Assert.Equal("log-shorter", await WhyNotStarted(ledger));
        Assert.Equal(stage.AtMoment.Size, await ledger.GetRequiredService<Leaves>().Size(Ct));
        var recovered = await ledger.GetRequiredService<Recovery>().Run("drill", Ct);
        Assert.Equal((stage.AtMoment.Size, stage.Last.Size - 1), (recovered.First, recovered.Last));
        // Recovered from the tiles that are here; whether more was published nobody outside has said yet.
        Assert.Equal("restore-unconfirmed", await WhyNotStarted(ledger));
        await ledger.GetRequiredService<Confirming>().Run([stage.Seen], alone: false, Ct);
        Assert.Null(await WhyNotStarted(ledger));
        await GoesOn(ledger, back);
    }

    [Fact]
    public async Task An_older_log_beside_an_older_database_is_found_out_only_by_asking_outside_and_stays_closed_until_then()
    {
        var backup = stage.BackupWith(stage.OldFiles);
        await using var back = await stage.Restore(stage.Moment, backup: backup);
        await using var ledger = back.Built();
        // Nothing here can tell: database and log fit one another.
        Assert.Equal("restore-unconfirmed", await WhyNotStarted(ledger));
        var confirming = ledger.GetRequiredService<Confirming>();
        Assert.Equal("nobody-confirmed", await Code(() => confirming.Run([], alone: false, Ct)));
        Assert.Equal("log-shorter", await Code(() => confirming.Run([stage.Seen], alone: false, Ct)));
        Assert.Equal("log-shorter", await WhyNotStarted(ledger));
        Assert.Equal("tiles-missing", await Code(() => ledger.GetRequiredService<Recovery>().Run(null, Ct)));
    }

    [Fact]
    public async Task The_lost_machines_log_beside_an_old_backup_gives_the_tail_its_places_back()
    {
        var backup = stage.BackupWith(stage.OldFiles);
        await using var back = await stage.Restore(stage.Moment, backup: backup, logs: Path.Combine(stage.Live, "log"));
        await using var ledger = back.Built();
        await ledger.GetRequiredService<Recovery>().Run("drill", Ct);
        await ledger.GetRequiredService<Confirming>().Run([], alone: true, Ct);
        await GoesOn(ledger, back);
    }

    [Fact]
    public async Task A_checkpoint_with_another_root_than_the_tiles_here_opens_nothing()
    {
        await using var back = await stage.Restore();
        await using var ledger = back.Built();
        using var key = SignerKey.FromSeed("ledger.example", new byte[32]);
        var other = new Checkpoint("ledger.example", 2, Hash.Of("another tree"u8)).Sign(key).ToArray();
        Assert.Equal("seen-other", await Code(() => ledger.GetRequiredService<Confirming>().Run([other], alone: true, Ct)));
        var later = new Checkpoint("ledger.example", stage.Last.Size + 5, Hash.Of("another tree"u8)).Sign(key).ToArray();
        Assert.Equal("seen-not-ours", await Code(() => ledger.GetRequiredService<Confirming>().Run([later], alone: true, Ct)));
        Assert.Equal("seen-malformed", await Code(() => ledger.GetRequiredService<Confirming>().Run(["no note"u8.ToArray()], alone: true, Ct)));
        Assert.Equal("restore-unconfirmed", await WhyNotStarted(ledger));
    }

    [Fact]
    public async Task A_key_destroyed_since_the_copy_was_made_does_not_come_back_even_where_the_erasure_itself_was_lost()
    {
        KeyRing live = new(Path.Combine(stage.Live, "keys", "values"));
        var id = live.IdOf(stage.Erased.ToString());
        Assert.True(File.Exists(Path.Combine(stage.OldKeys, "values", id)));
        Assert.False(File.Exists(Path.Combine(stage.Keys, "values", id)));
        await using var back = await stage.Restore(stage.Moment, keys: stage.OldKeys);
        KeyRing ring = new(Path.Combine(back.Data, "keys", "values"));
        Assert.True(ring.WasDestroyed(id));
        Assert.Null(ring.KeyOf(stage.Erased.ToString()));
        Assert.Null(ring.Find(id));
        Assert.False(File.Exists(Path.Combine(back.Data, "keys", "values", id)));
        Assert.NotNull(ring.Find(ring.IdOf(stage.Owner.ToString())));
        await using var ledger = back.Built();
        Assert.DoesNotContain(await ledger.GetRequiredService<WithheldValues>().Of(stage.Erased.Stream, Ct), v => v.Name == "name");
    }

    [Fact]
    public void Keys_never_stand_in_the_backup_and_the_next_log_key_in_neither()
    {
        Assert.DoesNotContain(Directory.EnumerateDirectories(Path.Combine(stage.To, "files")), f => Path.GetFileName(f) == "keys");
        var secret = File.ReadAllBytes(Path.Combine(stage.Keys, "values", "ring"));
        foreach (var file in Directory.EnumerateFiles(stage.To, "*", SearchOption.AllDirectories))
            Assert.False(File.ReadAllBytes(file).AsSpan().IndexOf(secret) >= 0, file);
        Assert.True(File.Exists(Path.Combine(stage.Live, "keys", "log", "next")));
        Assert.False(File.Exists(Path.Combine(stage.Keys, "log", "next")));
    }

    [Theory]
    [InlineData("data/backup", "keys", "backup-in-data")]
    [InlineData("data", "keys", "backup-in-data")]
    [InlineData("backup", "backup", "keys-beside-data")]
    [InlineData("backup", "backup/keys", "keys-beside-data")]
    [InlineData("backup", "data/keys", "keys-beside-data")]
    public void Folders_that_share_a_fate_are_refused(string to, string keys, string code)
    {
        var root = Path.Combine(Path.GetTempPath(), "custody-nowhere");
        Assert.Equal(code, BackupFolder.WhyNot(Path.Combine(root, "data"), Path.Combine(root, to), Path.Combine(root, keys))?.Code);
        Assert.Null(BackupFolder.WhyNot(Path.Combine(root, "data"), Path.Combine(root, "data-backup"), Path.Combine(root, "keys")));
    }

    [Fact]
    public async Task What_cannot_be_restored_is_refused_by_name()
    {
        Task<BroughtBack> From(string from, string keys, string data, DateTimeOffset? until = null) =>
            FromBackup.Run(new(from, keys, data, until, []), new PostgresOptions(), new Progress<string>(), Ct);
        var fresh = Path.Combine(Path.GetTempPath(), "custody-nowhere");
        Assert.Equal("no-backup", (await Assert.ThrowsAsync<BackupFault>(() => From(stage.Keys, stage.Keys, fresh))).Said.Code);
        Assert.Equal("no-keys", (await Assert.ThrowsAsync<BackupFault>(() => From(stage.To, stage.To, fresh))).Said.Code);
        Assert.Equal("data-not-empty", (await Assert.ThrowsAsync<BackupFault>(() => From(stage.To, stage.Keys, stage.Live))).Said.Code);
        Assert.Equal("no-base", (await Assert.ThrowsAsync<BackupFault>(() => From(stage.To, stage.Keys, fresh, stage.Moment.AddDays(-1)))).Said.Code);
        Assert.False(Directory.Exists(fresh));
    }

    [Fact]
    public async Task A_moment_after_the_end_of_the_archive_is_refused_by_name() =>
        Assert.Equal("until-not-reached", (await Assert.ThrowsAsync<BackupFault>(() => stage.Restore(stage.Moment.AddDays(1)))).Said.Code);

    /// <summary>More is recorded, in new places, and what is published now is consistent with what was seen before the loss.</summary>
    async Task GoesOn(ServiceProvider ledger, Restoration back)
    {
        await ledger.PrepareDatabase(Ct);
        await ledger.GetRequiredService<Sequencer>().StartAsync(Ct);
        await BackupStage.Do(ledger, stage.Bat, new MoveBat(MoveReason.Storage, null, "rack 14", null) { By = stage.Owner });
        var now = await BackupStage.Published(ledger);
        await ledger.GetRequiredService<Sequencer>().StopAsync(Ct);
        Assert.True(now.Size > stage.Last.Size);
        var hashes = ledger.GetRequiredService<TileFolder>().Hashes(now.Size);
        Assert.True(Merkle.VerifyConsistency(stage.Last.Size, stage.Last.Root, now.Size, now.Root, Merkle.ConsistencyProof(stage.Last.Size, now.Size, hashes)));
        Assert.Equal(0, (await AuditStage.Audit(ledger.GetRequiredService<LedgerPlace>(), states: true)).Findings.Faults);
        Assert.False(File.Exists(Path.Combine(back.Data, "postgres", ClusterSettings.RecoveryFile)));
    }

    static async Task<string?> WhyNotStarted(ServiceProvider ledger)
    {
        try
        {
            await ledger.PrepareDatabase(Ct);
            return null;
        }
        catch (LogFault fault)
        {
            return fault.Code;
        }
    }

    static async Task<string> Code(Func<Task> act) => (await Assert.ThrowsAsync<LogFault>(act)).Code;
}
