using Custody.Bats;
using Custody.Server.BackingUp;
using Custody.Server.Database;
using Custody.Server.Log;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Server.Restoring;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;
using Custody.Transparency;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;

namespace Custody.Server.Tests.BackingUp;

/// <summary>A ledger on a durable cluster of its own, backed up while it works: a base backup, an act, a moment, more acts and an erasure, and then its machine is gone.</summary>
public sealed class BackupStage : IAsyncLifetime
{
    readonly DirectoryInfo root = Directory.CreateTempSubdirectory("custody-backup-");
    int restored;

    public string Live => Path.Combine(root.FullName, "live");
    public string To => Path.Combine(root.FullName, "backup");
    public string Keys => Path.Combine(root.FullName, "keys");

    /// <summary>Keys as they were before the erasure, and the backup's files as they were then: what an old copy on a shelf is.</summary>
    public string OldKeys { get; private set; } = "";
    public string OldFiles { get; private set; } = "";
    public DateTimeOffset Moment { get; private set; }
    public StreamName Bat { get; private set; } = null!;
    public PartyId Owner { get; private set; } = null!;
    public PartyId Erased { get; private set; } = null!;
    public Checkpoint AtMoment { get; private set; } = null!;
    public Checkpoint Last { get; private set; } = null!;

    /// <summary>The note of the last checkpoint published, as somebody outside kept it.</summary>
    public byte[] Seen { get; private set; } = [];

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        if (!OperatingSystem.IsWindows()) root.UnixFileMode |= UnixFileMode.OtherExecute | UnixFileMode.GroupExecute;
        await using var postgres = await EmbeddedPostgres.StartOrAttachAsync(Live, new PostgresOptions(), new Progress<string>());
        await using (var ledger = Built(Live, postgres.ConnectionString))
        {
            await ledger.PrepareDatabase(Ct);
            await ledger.GetRequiredService<Sequencer>().StartAsync(Ct);
            (Owner, Erased) = (await Party(ledger, "Ada Quill"), await Party(ledger, "Cora Finch"));
            Bat = LedgerForTests.Fresh("bat");
            var number = Bat.Id[..7];
            await Do(ledger, Bat, new RegisterBat(number + CheckCharacter.Compute(number), Arrival.BroughtIn, Owner, Owner, AssertionBasis.HoldersWord,
                [new(Owner, Fraction.Whole)], AssertionBasis.HoldersWord, "a bat with a taped handle", null, null)
            { By = Owner });
            await Published(ledger);
            await BackupDesk.Run(Live, To, Keys, postgres, Ct);
            (OldKeys, OldFiles) = (DatabaseCopies.Copy(new(Keys)), DatabaseCopies.Copy(new(To + "/files")));

            await Do(ledger, Bat, new MoveBat(MoveReason.Storage, null, "rack 12", null) { By = Owner });
            AtMoment = await Published(ledger);
            Moment = await Now(postgres);
            await Task.Delay(50, Ct); // the next commit is certainly later
            await Do(ledger, Bat, new MoveBat(MoveReason.Storage, null, "rack 13", null) { By = Owner });
            await Do(ledger, Erased.Stream, new RequestErasure(ErasureGround.AskedByTheParty, null, null) { By = Erased });
            await Do(ledger, Erased.Stream, new EraseParty([], null) { By = Erased });
            Last = await Published(ledger);
            Seen = await File.ReadAllBytesAsync(Path.Combine(Live, "log", "checkpoint"), Ct);
            BackupFollower.Follow(Live, Ct);
            await Archived(postgres);
            await ledger.GetRequiredService<Sequencer>().StopAsync(Ct);
        }
        await postgres.StopAsync(Ct);
    }

    /// <summary>Brings it back into a folder of its own.</summary>
    internal async Task<Restoration> Restore(DateTimeOffset? until = null, string? keys = null, string? backup = null, params string[] logs)
    {
        var data = Path.Combine(root.FullName, $"again-{Interlocked.Increment(ref restored)}");
        await FromBackup.Run(new(backup ?? To, keys ?? Keys, data, until, logs), new PostgresOptions(), new Progress<string>(), Ct);
        return new(data, await EmbeddedPostgres.StartOrAttachAsync(data, new PostgresOptions(), new Progress<string>()));
    }

    /// <summary>The same backup with another copy of its files: as if nothing had followed the log.</summary>
    internal string BackupWith(string files)
    {
        var copy = Path.Combine(root.FullName, $"backup-{Interlocked.Increment(ref restored)}");
        Directory.CreateDirectory(copy);
        if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(copy, File.GetUnixFileMode(To));
        foreach (var name in new[] { "base", "wal" }) Directory.CreateSymbolicLink(Path.Combine(copy, name), Path.Combine(To, name));
        Directory.Move(DatabaseCopies.Copy(new(files)), Path.Combine(copy, "files"));
        return copy;
    }

    internal static ServiceProvider Built(string data, string connection)
    {
        ServiceCollection services = new();
        services.AddLogging();
        services.AddSingleton<TimeProvider>(new FakeClock());
        services.AddLedger(new("ledger.example", connection, data));
        return services.BuildServiceProvider();
    }

    internal static async Task Do(ServiceProvider ledger, StreamName stream, Bats.Command act)
    {
        var outcome = await ledger.GetRequiredService<Recorder>().Record(stream, act, new Request(), Ct);
        Assert.True(outcome is Recorded, outcome is Refused refused ? refused.Refusals[0].ToString() : outcome.ToString());
    }

    internal static async Task<Checkpoint> Published(ServiceProvider ledger) => (await ledger.GetRequiredService<KeyHandover>().Published(Ct)).Checkpoint;

    static async Task<PartyId> Party(ServiceProvider ledger, string name)
    {
        var party = new PartyId(LedgerForTests.Fresh("party"));
        await Do(ledger, party.Stream, new RecordParty(PartyKind.Person, name, null, null, null, null) { By = party });
        return party;
    }

    static async Task<DateTimeOffset> Now(EmbeddedPostgres postgres) => new((DateTime)(await Ask(postgres, "select clock_timestamp()"))!);

    // Ends the segment that is being written, and waits until the backup has it.
    static async Task Archived(EmbeddedPostgres postgres)
    {
        var segment = (string)(await Ask(postgres, "select pg_walfile_name(pg_switch_wal())"))!;
        for (var tries = 0; tries < 600; tries++)
        {
            if (await Ask(postgres, "select last_archived_wal from pg_stat_archiver") is string last && string.CompareOrdinal(last[..24], segment) >= 0) return;
            await Task.Delay(50, Ct);
        }
        Assert.Fail($"{segment} was not archived in 30 seconds.");
    }

    static async Task<object?> Ask(EmbeddedPostgres postgres, string sql)
    {
        await using var connection = new NpgsqlConnection(postgres.AdminConnectionString);
        await connection.OpenAsync(Ct);
        await using var command = new NpgsqlCommand(sql, connection);
        return await command.ExecuteScalarAsync(Ct);
    }

    public ValueTask DisposeAsync()
    {
        root.Delete(recursive: true);
        foreach (var copy in new[] { OldKeys, OldFiles }) if (Directory.Exists(copy)) Directory.Delete(copy, recursive: true);
        return ValueTask.CompletedTask;
    }
}

/// <summary>A ledger brought back, with its cluster running.</summary>
sealed record Restoration(string Data, EmbeddedPostgres Postgres) : IAsyncDisposable
{
    public ServiceProvider Built() => BackupStage.Built(Data, Postgres.ConnectionString);

    public async ValueTask DisposeAsync()
    {
        await using (var pool = new NpgsqlConnection(Postgres.ConnectionString)) NpgsqlConnection.ClearPool(pool);
        await Postgres.DisposeAsync();
    }
}
