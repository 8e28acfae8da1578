using System.Diagnostics;
using System.Globalization;
using Npgsql;

namespace Custody.Drills;

/// <summary>The private PostgreSQL under the server's data folder, seen from outside: its process file, its tables.</summary>
sealed class Cluster(string data)
{
    string Home => Path.Combine(data, "postgres");

    /// <summary>Kill -9 to the postmaster of this folder. What its file names is looked at first: the number may be a stranger's by now.</summary>
    public async Task KillPostmaster()
    {
        if (Lines() is not [var first, ..] || !int.TryParse(first, NumberStyles.None, CultureInfo.InvariantCulture, out var pid)) return;
        try
        {
            var home = new DirectoryInfo(Home).ResolveLinkTarget(returnFinalTarget: true)?.FullName ?? Home;
            if (!(await File.ReadAllTextAsync($"/proc/{first}/cmdline")).Contains(home, StringComparison.Ordinal)) return;
            using var postmaster = Process.GetProcessById(pid);
            postmaster.Kill();
        }
        catch (Exception gone) when (gone is IOException or ArgumentException or InvalidOperationException)
        {
            // It ended before it could be killed.
        }
    }

    /// <summary>Ends connections as their own server would for an administrator.</summary>
    public async Task Cut(string which, CancellationToken ct)
    {
        try
        {
            await using var connection = await Open("postgres", ct);
            await using NpgsqlCommand command = new($"select count(pg_terminate_backend(pid)) from pg_stat_activity where pid <> pg_backend_pid() and datname = 'custody' and {which}", connection);
            await command.ExecuteScalarAsync(ct);
        }
        catch (NpgsqlException)
        {
            // Just starting again from the last fault: there was nothing to cut.
        }
    }

    /// <summary>Name of some bat's stream.</summary>
    public async Task<string> SomeBat(Random random, CancellationToken ct)
    {
        await using var connection = await Open("custody", ct);
        await using NpgsqlCommand command = new("select id from custody.mt_streams where id like 'bat/%' order by id", connection);
        List<string> bats = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) bats.Add(reader.GetString(0));
        return bats[random.Next(bats.Count)];
    }

    /// <summary>Opens a connection as the cluster's own superuser.</summary>
    public async Task<NpgsqlConnection> Open(string database, CancellationToken ct)
    {
        var lines = Lines();
        NpgsqlConnection connection = new(new NpgsqlConnectionStringBuilder
        {
            Host = lines is [_, _, _, _, { Length: > 0 } socket, ..] ? socket : "127.0.0.1",
            Port = lines.Length > 3 && int.TryParse(lines[3], NumberStyles.None, CultureInfo.InvariantCulture, out var port) ? port : 5432,
            Username = "postgres",
            Password = (await File.ReadAllTextAsync(Path.Combine(Home, "password"), ct)).Trim(),
            Database = database,
            Pooling = false,
        }.ConnectionString);
        await connection.OpenAsync(ct);
        return connection;
    }

    string[] Lines()
    {
        try
        {
            return File.ReadAllLines(Path.Combine(Home, "data", "postmaster.pid"));
        }
        catch (IOException)
        {
            return [];
        }
    }
}
