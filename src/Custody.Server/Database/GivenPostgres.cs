using Npgsql;

namespace Custody.Server.Database;

/// <summary>A server that somebody else runs and backs up. It is checked once and otherwise left alone.</summary>
public sealed class GivenPostgres : IPostgresHandle
{
    GivenPostgres(string connectionString, string description) => (ConnectionString, Description) = (connectionString, description);

    public string ConnectionString { get; }
    public string Description { get; }

    public static async Task<GivenPostgres> OpenAsync(string connectionString, CancellationToken ct = default)
    {
        var settings = Parse(connectionString);
        var where = $"{settings.Host}:{settings.Port}, database {settings.Database ?? settings.Username}";
        try
        {
            // Not pooled: a pool made here would keep a connection open that nobody asked for.
            var probe = new NpgsqlConnectionStringBuilder(connectionString) { Pooling = false };
            await using var connection = new NpgsqlConnection(probe.ConnectionString);
            await connection.OpenAsync(ct);
            await RequireUtf8(connection, where, ct);
            RequireVersion(connection.PostgreSqlVersion, where);
            return new GivenPostgres(connectionString, $"PostgreSQL {connection.PostgreSqlVersion} as given at {where}");
        }
        catch (PostgresException refused)
        {
            throw Refused(refused, where);
        }
        catch (Exception away) when (away is NpgsqlException or TimeoutException or System.Net.Sockets.SocketException)
        {
            throw new DatabaseUnavailable("server-unreachable", $"No PostgreSQL answers at {where} ({away.Message}).",
                "Start it or correct CUSTODY_POSTGRES; without CUSTODY_POSTGRES a private PostgreSQL is used.", away);
        }
    }

    public Task<StopOutcome> StopAsync(CancellationToken ct = default) => Task.FromResult(StopOutcome.LeftRunning);

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    static NpgsqlConnectionStringBuilder Parse(string connectionString)
    {
        try
        {
            var settings = new NpgsqlConnectionStringBuilder(connectionString);
            return string.IsNullOrEmpty(settings.Host) ? throw Malformed() : settings;
        }
        catch (Exception malformed) when (malformed is ArgumentException or FormatException or InvalidCastException or OverflowException)
        {
            throw Malformed();
        }
    }

    // Neither the text nor the parser's message is shown: both may hold the password.
    static DatabaseUnavailable Malformed() => new(
        "connection-string-malformed", "CUSTODY_POSTGRES cannot be read as a connection string.",
        "Write it as Host=...;Port=5432;Database=...;Username=...;Password=... (not as a postgresql:// address).");

    static async Task RequireUtf8(NpgsqlConnection connection, string where, CancellationToken ct)
    {
        await using var ask = new NpgsqlCommand("SHOW server_encoding", connection);
        var encoding = (string)(await ask.ExecuteScalarAsync(ct))!;
        if (encoding == "UTF8") return;
        throw new DatabaseUnavailable("server-encoding", $"The database at {where} keeps text as {encoding}, not UTF8.",
            "Create one with: CREATE DATABASE custody TEMPLATE template0 ENCODING 'UTF8'.");
    }

    static void RequireVersion(Version version, string where)
    {
        if (version.Major >= PostgresBinaries.OldestMajor) return;
        throw new DatabaseUnavailable("server-too-old",
            $"The PostgreSQL at {where} is version {version}; {PostgresBinaries.OldestMajor} or newer is needed.",
            "Upgrade it, or unset CUSTODY_POSTGRES to use a private PostgreSQL.");
    }

    // SQLSTATE codes: PostgreSQL manual, appendix A.
    static DatabaseUnavailable Refused(PostgresException refused, string where) => refused.SqlState switch
    {
        PostgresErrorCodes.InvalidPassword or PostgresErrorCodes.InvalidAuthorizationSpecification => new DatabaseUnavailable(
            "server-login-refused", $"The PostgreSQL at {where} refuses this user or password.",
            "Correct Username and Password in CUSTODY_POSTGRES, or the server's pg_hba.conf.", refused),
        PostgresErrorCodes.InvalidCatalogName => new DatabaseUnavailable(
            "database-missing", $"The PostgreSQL at {where} answers, but that database does not exist.",
            "Create it (CREATE DATABASE custody OWNER ... ENCODING 'UTF8' TEMPLATE template0) or correct CUSTODY_POSTGRES.", refused),
        _ => new DatabaseUnavailable(
            "server-refused", $"The PostgreSQL at {where} refuses the connection: {refused.MessageText}.",
            "Mend what it says and start again.", refused),
    };
}
