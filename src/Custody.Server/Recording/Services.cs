using Custody.Server.Accounts;
using Custody.Server.Log;
using Custody.Server.Photographs;
using Custody.Server.Private;
using Marten;
using Npgsql;

namespace Custody.Server.Recording;

/// <summary>Where one ledger stands: its name, its database and the folder of what is kept outside the database.</summary>
/// <param name="DataFolder">Keys, tiles, checkpoints, photographs.</param>
/// <param name="OwnerConnection">Connection string of the role that owns the tables, where recording is done by another, which can change no entry.</param>
public sealed record LedgerPlace(string Origin, string ConnectionString, string DataFolder, string Schema = "custody", string? OwnerConnection = null)
{
    /// <summary>The schema of messages between acts and what follows them.</summary>
    public string Messages => Schema + "_messages";

    /// <summary>The same as its owner sees it.</summary>
    internal LedgerPlace ForOwner => this with { ConnectionString = OwnerConnection ?? ConnectionString, OwnerConnection = null };

    public string Folder(string name) => Path.Combine(DataFolder, name);
}

static class Services
{
    /// <summary>The recording path and the log over one database.</summary>
    public static MartenServiceCollectionExtensions.MartenConfigurationExpression AddLedger(this IServiceCollection services, LedgerPlace place, Passphrase? passphrase = null)
    {
        services.AddSingleton(place);
        services.AddSingleton(new LedgerName(place.Origin));
        services.AddSingleton(_ => Store.Open(place.ConnectionString));
        services.AddSingleton(new KeyRing(place.Folder("keys/values")));
        services.AddSingleton(s => new WithheldValues(s.GetRequiredService<NpgsqlDataSource>(), s.GetRequiredService<KeyRing>(), place.Schema));
        services.AddSingleton(s => new AliasBook(
            s.GetRequiredService<NpgsqlDataSource>(), s.GetRequiredService<KeyRing>(), s.GetRequiredService<WithheldValues>(), place.Schema));
        services.AddSingleton(s => new Citations(s.GetRequiredService<NpgsqlDataSource>(), s.GetRequiredService<LedgerName>(), place.Schema));
        services.AddSingleton(s => new FirstAnswers(s.GetRequiredService<NpgsqlDataSource>(), place.Schema));
        services.AddSingleton(s => new Leaves(s.GetRequiredService<NpgsqlDataSource>(), s.GetRequiredService<LedgerName>(), place.Schema));
        services.AddSingleton(new TileFolder(place.Folder("log")));
        services.AddSingleton(_ => passphrase ?? Passphrase.From(null, Environment.GetEnvironmentVariable));
        services.AddSingleton(s => LogKeys.Open(
            place.Folder("keys/log"), place.Origin, s.GetRequiredService<Passphrase>(), mayMake: !File.Exists(place.Folder("log/checkpoint"))));
        services.AddSingleton(s => new Checkpoints(s.GetRequiredService<NpgsqlDataSource>(), NodeTurns.In(place.DataFolder), place.Folder("log"), place.Schema));
        services.AddSingleton<Publisher>();
        services.AddSingleton<KeyEntries>();
        services.AddSingleton<PresentKey>();
        services.AddSingleton<KeyHandover>();
        services.AddSingleton<SequencerStanding>();
        services.AddSingleton<LogDesk>();
        services.AddSingleton<Sequencer>();
        services.AddSingleton<Cosigning.CosignSettings>();
        services.AddSingleton<Cosigning.CosignerKey>();
        services.AddSingleton<Cosigning.CosignDesk>();
        services.AddSingleton<Cosigning.Outgoing>();
        services.AddSingleton<Cosigning.Cosigners>();
        services.AddSingleton<Cosigning.CosigningStanding>();
        services.AddSingleton(_ => Stamping.StampSettings.From(Environment.GetEnvironmentVariable));
        services.AddSingleton<Stamping.Stamper>();
        services.AddSingleton<Stamping.TimedCheckpoints>();
        services.AddSingleton(s => new Histories(s.GetRequiredService<NpgsqlDataSource>(), s.GetRequiredService<WithheldValues>(), place.Schema));
        services.AddSingleton<Erasures>();
        services.AddSingleton<Restrictions>();
        services.AddSingleton<BatFinder>();
        services.AddSingleton<Drawing>();
        services.AddSingleton<Beginning>();
        services.AddPhotographs(PhotographOptions.From(new ConfigurationBuilder().AddEnvironmentVariables("CUSTODY_").Build(), place.Folder("photographs")));
        services.AddSingleton<Dossiers.DossierDesk>();
        services.AddSingleton<Sharing.SharedFiles>();
        services.AddSingleton<Tables>();
        services.AddSingleton<Sharing.SharedTable>();
        services.AddSingleton<Sharing.SharingDesk>();
        services.AddSingleton<Owning.OwnersDesk>();
        services.AddSingleton<Transferring.TransferTable>();
        services.AddSingleton<Transferring.TransferDesk>();
        services.AddSingleton<Labels.LabelDesk>();
        services.AddSingleton<Labels.LabelPages>();
        services.AddSingleton<Challenges.ChallengeTable>();
        services.AddSingleton<Challenges.ChallengeDesk>();
        services.AddSingleton<Challenges.HolderSecrets>();
        services.AddSingleton<Readings.ReadingDesk>();
        services.AddSingleton<Selling.SaleDesk>();
        services.AddSingleton<Selling.PaddleBook>();
        services.AddSingleton<Grading.WeighingDesk>();
        services.AddSingleton<Habits.HabitImport>();
        services.AddSingleton<Examining.BenchDesk>();
        services.AddSingleton<Examining.FindingsDrafts>();
        services.AddSingleton<Readings.RecomputeDesk>();
        services.AddSingleton<Selling.AccountsDesk>();
        services.AddSingleton<Readings.EntryBook>();
        services.AddSingleton<Sheets.ProofBook>();
        services.AddSingleton<Finding.FinderDesk>();
        services.AddSingleton(s => new Finding.SearchIndex(
            s.GetRequiredService<NpgsqlDataSource>(), s.GetRequiredService<WithheldValues>(), s.GetRequiredService<KeyRing>(), place.Schema));
        services.AddSingleton<Parties.PeopleDesk>();
        services.AddSingleton<Rebuilding>();
        services.AddSingleton<Auditing.Auditor>();
        services.AddSingleton<Auditing.AuditRecord>();
        services.AddSingleton<Restoring.Recovery>();
        services.AddSingleton<Restoring.PuttingBack>();
        services.AddSingleton<Restoring.Confirming>();
        services.AddSingleton<BackingUp.BackupStanding>();
        services.AddSingleton<Observing.Readiness>();
        services.AddSingleton<AppendSignal>();
        services.AddSingleton<Recorder>();
        services.AddSingleton<Publishing.CheckerDesk>();
        services.AddAccounts(place);
        return services.AddMarten(s =>
        {
            var options = new StoreOptions();
            options.Connection(s.GetRequiredService<NpgsqlDataSource>());
            Store.Configure(options, place.Schema);
            return options;
        }).UseLightweightSessions();
    }

    /// <summary>Makes tables and triggers where they are missing, and refuses to go on where they are not as they must be.</summary>
    public static async Task PrepareDatabase(this IServiceProvider services, CancellationToken ct)
    {
        // Nodes that start together prepare one after the other: rivals would trip over each other's half.
        await using var turn = await StartingTurn(services, ct);
        await MakeTables(services, ct);
        // Before anything is recorded: in a database that lost its tail a new entry would take the place of a published one, and the ledger tell two histories.
        await services.GetRequiredService<Publisher>().HoldAgainstLast(ct);
        await services.GetRequiredService<PresentKey>().Take(ct);
        await services.GetRequiredService<Beginning>().Ensure(ct);
        await services.GetRequiredService<Erasures>().CarryOutDue(ct);
    }

    /// <summary>Makes tables and triggers where they are missing; records nothing.</summary>
    public static async Task PrepareTables(this IServiceProvider services, CancellationToken ct)
    {
        await using var turn = await StartingTurn(services, ct);
        await MakeTables(services, ct);
    }

    // The lock goes with its connection.
    internal static async Task<NpgsqlConnection> StartingTurn(IServiceProvider services, CancellationToken ct)
    {
        var turn = await Store.OpenOutsideThePool(services.GetRequiredService<LedgerPlace>().ConnectionString, ct);
        await using NpgsqlCommand take = new("select pg_advisory_lock(7310577)", turn) { CommandTimeout = 300 };
        await take.ExecuteNonQueryAsync(ct);
        return turn;
    }

    internal static async Task MakeTables(IServiceProvider services, CancellationToken ct)
    {
        if (services.GetRequiredService<LedgerPlace>() is { OwnerConnection: not null } place)
        {
            await ServerRole.Prepare(place, ct);
            await Schema.AssertTriggers(services.GetRequiredService<NpgsqlDataSource>(), place.Schema, ct);
            return;
        }
        await services.GetRequiredService<IDocumentStore>().Storage.ApplyAllConfiguredChangesToDatabaseAsync();
        await Schema.Apply(services.GetRequiredService<NpgsqlDataSource>(), services.GetRequiredService<LedgerPlace>().Schema, ct);
        await services.PrepareAccounts(ct);
    }
}
