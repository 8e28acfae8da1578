using System.Globalization;
using Npgsql;

namespace Custody.Server.Tests.Database;

/// <summary>Copies of a test database as it stands, and back again: how a test backs up, restores an older state, or damages without spoiling.</summary>
public sealed class DatabaseCopies(PostgresForTests postgres)
{
    static int made;

    /// <summary>Copies a database. Nobody may be connected to it; those who are, are cut off.</summary>
    /// <returns>The connection string to the copy.</returns>
    public async Task<string> Copy(string connectionString)
    {
        var from = new NpgsqlConnectionStringBuilder(connectionString);
        var name = string.Create(CultureInfo.InvariantCulture, $"copy_{Environment.ProcessId}_{Interlocked.Increment(ref made)}");
        await using (var pool = new NpgsqlConnection(connectionString)) NpgsqlConnection.ClearPool(pool);
        await OnServer($"select pg_terminate_backend(pid) from pg_stat_activity where datname = '{from.Database}'");
        await OnServer($"create database {name} owner {from.Username} template {from.Database} strategy file_copy");
        from.Database = name;
        return from.ConnectionString;
    }

    public async Task Drop(string connectionString)
    {
        await using (var pool = new NpgsqlConnection(connectionString)) NpgsqlConnection.ClearPool(pool);
        await OnServer($"drop database if exists {new NpgsqlConnectionStringBuilder(connectionString).Database} with (force)");
    }

    /// <summary>Runs a statement in a database as its superuser.</summary>
    public Task AsAdmin(string connectionString, string sql) => Run(Admin(connectionString), sql);

    /// <summary>To the same database as its superuser.</summary>
    public string Admin(string connectionString) =>
        new NpgsqlConnectionStringBuilder(postgres.AdminConnectionString) { Database = new NpgsqlConnectionStringBuilder(connectionString).Database }.ConnectionString;

    Task OnServer(string sql) => Run(new NpgsqlConnectionStringBuilder(postgres.AdminConnectionString) { Database = "postgres" }.ConnectionString, sql);

    static async Task Run(string connectionString, string sql)
    {
        await using var connection = new NpgsqlConnection(connectionString);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync();
    }

    /// <summary>Copies a folder with all that is in it, modes included.</summary>
    public static string Copy(DirectoryInfo folder)
    {
        var copy = Directory.CreateTempSubdirectory("custody-copy-").FullName;
        foreach (var item in folder.EnumerateFileSystemInfos("*", SearchOption.AllDirectories))
        {
            var path = Path.Combine(copy, Path.GetRelativePath(folder.FullName, item.FullName));
            if (item is DirectoryInfo) Directory.CreateDirectory(path);
            else
            {
                Directory.CreateDirectory(Path.GetDirectoryName(path)!);
                File.Copy(item.FullName, path);
            }
            if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(path, item.UnixFileMode);
        }
        return copy;
    }
}
