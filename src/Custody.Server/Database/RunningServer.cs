using System.Diagnostics;
using System.Globalization;
using System.Net.Sockets;
using Npgsql;

namespace Custody.Server.Database;

/// <summary>A private server that answers: where, and the roles and database that are ours on it.</summary>
sealed record RunningServer(int Pid, string Host, int Port, string Password)
{
    const string Role = "custody";
    static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(100);

    public string ConnectionString => Connection(Role, Role, pooled: true);

    /// <summary>The cluster's superuser; for making databases and for looking after the cluster, never for the program's work.</summary>
    public string AdminConnectionString => Connection("postgres", "postgres", pooled: false);

    string Connection(string user, string database, bool pooled) => new NpgsqlConnectionStringBuilder
    {
        Host = Host,
        Port = Port,
        Username = user,
        Password = Password,
        Database = database,
        Pooling = pooled,
        SslMode = SslMode.Disable,
        ApplicationName = "custody",
        GssEncryptionMode = GssEncryptionMode.Disable,
    }.ConnectionString;

    /// <summary>
    /// Attaches to the server of this folder if there is one, waiting for it to finish starting, recovering or stopping.
    /// Null: there is none.
    /// </summary>
    public static async Task<RunningServer?> TryAttachAsync(PostgresFolder folder, PostgresOptions options, CancellationToken ct)
    {
        var password = "";
        for (var since = Stopwatch.StartNew(); since.Elapsed < options.StartTimeout; await Task.Delay(Pause, ct))
        {
            // Read anew each time: the server rewrites the file as it starts and removes it when it has stopped.
            if (PostmasterFile.Read(folder) is not { } file) return null;
            if (password is "") password = ClusterSettings.Password(folder);
            var server = new RunningServer(file.Pid, file.Host, file.Port, password);
            if (file.Port != 0 && await server.AnswersAsync(folder, options, ct)) return server;
            if (!await ServerProcesses.IsPostmasterAsync(file.Pid, folder, ct)) return null;
        }
        throw new DatabaseUnavailable("server-not-answering",
            $"The PostgreSQL of {folder.Data} runs but has not answered for {options.StartTimeout.TotalSeconds:0} seconds.",
            $"It may be recovering from a crash: {folder.LogFile} says how far it is. Start again later.");
    }

    /// <summary>Makes the program's own role and database if they are not there yet.</summary>
    public async Task EnsureDatabaseAsync(CancellationToken ct)
    {
        await using var connection = new NpgsqlConnection(AdminConnectionString);
        await connection.OpenAsync(ct);
        // The password is hexadecimal and the names are constants: nothing to quote.
        if (!await ExistsAsync(connection, $"SELECT 1 FROM pg_roles WHERE rolname = '{Role}'", ct))
            await ExecuteAsync(connection, $"CREATE ROLE {Role} LOGIN PASSWORD '{Password}'", ct);
        if (!await ExistsAsync(connection, $"SELECT 1 FROM pg_database WHERE datname = '{Role}'", ct))
            await ExecuteAsync(connection, $"CREATE DATABASE {Role} OWNER {Role} TEMPLATE template0", ct);
    }

    async Task<bool> AnswersAsync(PostgresFolder folder, PostgresOptions options, CancellationToken ct)
    {
        try
        {
            await using var connection = new NpgsqlConnection(AdminConnectionString);
            await connection.OpenAsync(ct);
            await using var ask = new NpgsqlCommand("SELECT current_setting('data_directory'), current_setting('fsync')", connection);
            await using var row = await ask.ExecuteReaderAsync(ct);
            await row.ReadAsync(ct);
            // A copied data folder carries the original's postmaster.pid, which points at the original's server.
            if (row.GetString(0) != folder.Data) return false;
            if (options.Durable && row.GetString(1) != "on") throw NotDurable(folder);
            return true;
        }
        catch (PostgresException starting) when (starting.SqlState is PostgresErrorCodes.CannotConnectNow or PostgresErrorCodes.AdminShutdown)
        {
            return false;
        }
        catch (PostgresException refused) when (refused.SqlState == PostgresErrorCodes.InvalidPassword)
        {
            throw new DatabaseUnavailable("password-wrong", $"The PostgreSQL of {folder.Data} refuses the password in {folder.PasswordFile}.",
                "Put the file back from the backup that the cluster came from.", refused);
        }
        catch (Exception away) when (away is NpgsqlException or SocketException or TimeoutException)
        {
            return false;
        }
    }

    static DatabaseUnavailable NotDurable(PostgresFolder folder) => new("server-not-durable",
        $"The PostgreSQL running on {folder.Data} was started without fsync: a power cut could lose what it calls committed.",
        "Stop the program that started it so (only tests do that), then start again.");

    static async Task<bool> ExistsAsync(NpgsqlConnection connection, string sql, CancellationToken ct)
    {
        await using var ask = new NpgsqlCommand(sql, connection);
        return await ask.ExecuteScalarAsync(ct) is not null;
    }

    static async Task ExecuteAsync(NpgsqlConnection connection, string sql, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync(ct);
    }
}
