using System.Text.Json;
using Custody.Bats;
using JasperFx.Events;
using Marten;
using Marten.Services;
using Npgsql;

namespace Custody.Server.Recording;

/// <summary>How Marten is set up: exact bytes, quick appends, inline folds, nothing skipped.</summary>
static class Store
{
    public static void Configure(StoreOptions options, string schema)
    {
        options.DatabaseSchemaName = schema;
        options.Events.DatabaseSchemaName = schema;
        options.Events.StreamIdentity = StreamIdentity.AsString;
        // Not Rich: it draws sequence numbers outside the transaction, and a writer that stalls is then skipped for ever by readers.
        options.Events.AppendMode = EventAppendMode.QuickWithServerTimestamps;
        options.Events.UseIdentityMapForAggregates = true;
        options.Projections.Errors.SkipApplyErrors = false;
        options.Projections.Errors.SkipSerializationErrors = false;
        options.Projections.Errors.SkipUnknownEvents = false;
        options.Projections.RebuildErrors.SkipApplyErrors = false;
        options.Projections.RebuildErrors.SkipSerializationErrors = false;
        options.Projections.RebuildErrors.SkipUnknownEvents = false;
        // Queries find members by the names they are written under, which Marten learns from here and not from the options below.
        var serializer = new SystemTextJsonSerializer { Casing = Weasel.Core.Casing.CamelCase };
        serializer.Configure(json => JsonText.Configure(json));
        options.Serializer(serializer);
        foreach (var kind in StreamKind.All.Values) kind.Configure(options);
    }

    /// <summary>Connection settings that the recording path relies on. Connections go back to the pool as they are: a reset at each of an act's
    /// turns cost more than the act's own statements. So nothing may leave settings, temporary tables or session locks behind on one.</summary>
    public static NpgsqlDataSource Open(string connectionString)
    {
        var settings = Named(connectionString);
        settings.Options = "-c idle_in_transaction_session_timeout=10000 " + settings.Options;
        (settings.MaxAutoPrepare, settings.AutoPrepareMinUsages, settings.NoResetOnClose) = (100, 2, true);
        return NpgsqlDataSource.Create(settings.ConnectionString);
    }

    /// <summary>A connection that ends when it is closed, and every lock of its session with it.</summary>
    public static async Task<NpgsqlConnection> OpenOutsideThePool(string connectionString, CancellationToken ct)
    {
        var settings = Named(connectionString);
        settings.Pooling = false;
        var connection = new NpgsqlConnection(settings.ConnectionString);
        try
        {
            await connection.OpenAsync(ct);
            return connection;
        }
        catch
        {
            await connection.DisposeAsync();
            throw;
        }
    }

    /// <summary>A process that is killed closes its connections; a machine that loses its power closes nothing, and a frozen process stays in the middle of what it
    /// does. PostgreSQL then ends the session, and lets go of what it locked: after 5 seconds of silence on the wire, and on the pool's connections after 10 in which
    /// an open transaction is asked nothing. What the connection string itself says comes later and counts.</summary>
    const string Parting = "-c tcp_keepalives_idle=2 -c tcp_keepalives_interval=1 -c tcp_keepalives_count=3 -c tcp_user_timeout=5000";

    static NpgsqlConnectionStringBuilder Named(string connectionString)
    {
        NpgsqlConnectionStringBuilder settings = new(connectionString);
        settings.Options = $"{Parting} {settings.Options}".TrimEnd();
        if (string.IsNullOrEmpty(settings.ApplicationName)) settings.ApplicationName = "custody";
        return settings;
    }
}

/// <summary>Tables, functions and triggers that Marten does not know of.</summary>
static class Schema
{
    /// <summary>Creates what is missing. Runs after Marten's own migration.</summary>
    public static async Task Apply(NpgsqlDataSource database, string schema, CancellationToken ct)
    {
        var sql = await Text(schema, ct);
        await using var connection = await database.OpenConnectionAsync(ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        await using (var command = new NpgsqlCommand(sql, connection)) await command.ExecuteNonQueryAsync(ct);
        await transaction.CommitAsync(ct);
        await AssertTriggers(database, schema, ct);
    }

    /// <summary>The statements, for a schema of this name.</summary>
    public static Task<string> Text(string schema, CancellationToken ct) => Resource("custody.sql", schema, ct);

    internal static async Task<string> Resource(string name, string schema, CancellationToken ct)
    {
        await using var stream = typeof(Schema).Assembly.GetManifestResourceStream(name)!;
        using var reader = new StreamReader(stream);
        return (await reader.ReadToEndAsync(ct)).Replace("{schema}", schema, StringComparison.Ordinal);
    }

    static readonly string[] Needed = ["custody_pending_after_insert", "custody_events_stay", "custody_events_put_back", "custody_leaves_named", "custody_streams_stay", "custody_leaves_stay", "custody_checkpoints_stay"];

    /// <summary>The order of the log and the refusal of changes hang on these: a server without them must not start.</summary>
    internal static async Task AssertTriggers(NpgsqlDataSource database, string schema, CancellationToken ct)
    {
        if (await MissingTrigger(database, schema, ct) is { } missing)
            throw new InvalidOperationException($"The trigger {missing} is missing or disabled in schema {schema}. Enable it; until then nothing is recorded.");
    }

    /// <summary>A trigger that is missing or disabled; null when all are there.</summary>
    public static async Task<string?> MissingTrigger(NpgsqlDataSource database, string schema, CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            """
            select t.tgname from pg_trigger t join pg_class c on c.oid = t.tgrelid join pg_namespace s on s.oid = c.relnamespace
            where s.nspname = $1 and t.tgenabled in ('O', 'A')
            """);
        command.Parameters.AddWithValue(schema);
        HashSet<string> enabled = new(StringComparer.Ordinal);
        await using (var reader = await command.ExecuteReaderAsync(ct))
            while (await reader.ReadAsync(ct)) enabled.Add(reader.GetString(0));
        return Needed.FirstOrDefault(n => !enabled.Contains(n));
    }
}
