using Npgsql;

namespace Custody.Server.Tests.Database;

/// <summary>
/// A class fixture: a real, empty database for each test class, owned by an ordinary role as in real use. Take it with
/// `class SomeTests(PostgresForTests postgres) : IClassFixture&lt;PostgresForTests&gt;`.
/// </summary>
public sealed class PostgresForTests : IAsyncLifetime
{
    const string Role = "custody_test";
    const string Password = "only-for-tests";
    static readonly SemaphoreSlim OneAtATime = new(1);
    readonly string _name = "test_" + Guid.NewGuid().ToString("n");
    TestServer _server = null!;

    /// <summary>To the fresh database, pooled.</summary>
    public string ConnectionString { get; private set; } = "";

    /// <summary>Which PostgreSQL the tests run on.</summary>
    public string Description => _server.Description;

    /// <summary>To the same server as its superuser, not pooled: to look at, or disturb, what the program does.</summary>
    public string AdminConnectionString { get; private set; } = "";

    public async ValueTask InitializeAsync()
    {
        _server = await TestServer.SharedAsync();
        await OneAtATime.WaitAsync();
        try
        {
            await AdminAsync($"DO $$ BEGIN IF NOT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = '{Role}') THEN CREATE ROLE {Role} LOGIN PASSWORD '{Password}'; END IF; END $$");
            await AdminAsync($"CREATE DATABASE {_name} OWNER {Role} TEMPLATE template0 ENCODING 'UTF8'");
        }
        finally
        {
            OneAtATime.Release();
        }
        AdminConnectionString = new NpgsqlConnectionStringBuilder(_server.AdminConnectionString) { Database = _name, Pooling = false }.ConnectionString;
        ConnectionString = new NpgsqlConnectionStringBuilder(_server.AdminConnectionString)
        {
            Database = _name,
            Username = Role,
            Password = Password,
            Pooling = true,
            IncludeErrorDetail = true,
        }.ConnectionString;
    }

    public async ValueTask DisposeAsync()
    {
        await using (var pool = new NpgsqlConnection(ConnectionString)) NpgsqlConnection.ClearPool(pool);
        await AdminAsync($"DROP DATABASE IF EXISTS {_name} WITH (FORCE)");
    }

    async Task AdminAsync(string sql)
    {
        var settings = new NpgsqlConnectionStringBuilder(_server.AdminConnectionString) { Pooling = false };
        await using var connection = new NpgsqlConnection(settings.ConnectionString);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync();
    }
}
