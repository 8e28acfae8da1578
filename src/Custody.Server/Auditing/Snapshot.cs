using Custody.Server.Recording;
using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>The database as it was at one moment, seen alike through several connections, while others go on recording. Nothing is changed.</summary>
public sealed class Snapshot : IAsyncDisposable
{
    readonly LedgerPlace place;
    readonly List<NpgsqlConnection> connections = [];
    string? name;

    Snapshot(LedgerPlace place) => this.place = place;

    public string Schema => place.Schema;

    public string Origin => place.Origin;

    /// <summary>The first connection, for short questions.</summary>
    public NpgsqlConnection First => connections[0];

    public static async Task<Snapshot> Take(LedgerPlace place, CancellationToken ct)
    {
        var snapshot = new Snapshot(place);
        try
        {
            var first = await snapshot.Open(ct);
            await using var command = new NpgsqlCommand("select pg_export_snapshot()", first);
            snapshot.name = (string)(await command.ExecuteScalarAsync(ct))!;
            return snapshot;
        }
        catch
        {
            await snapshot.DisposeAsync();
            throw;
        }
    }

    /// <summary>One more connection, for a scan of its own.</summary>
    public async Task<NpgsqlConnection> Open(CancellationToken ct)
    {
        var connection = await Store.OpenOutsideThePool(place.ConnectionString, ct);
        connections.Add(connection);
        await Run(connection, "begin isolation level repeatable read read only", ct);
        if (name is not null) await Run(connection, $"set transaction snapshot '{name}'", ct);
        // Plans that cannot do without what is switched off look so dear that each would be compiled first, for longer than it runs.
        // The big tables are wanted in the order of their keys, in which they also lie on disk: following the index beats reading all and sorting it.
        await Run(connection, "set local enable_seqscan = off; set local enable_sort = off; set local enable_bitmapscan = off; set local jit = off", ct);
        return connection;
    }

    public async Task<T> Scalar<T>(string sql, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(sql, First) { CommandTimeout = 600 };
        return (T)(await command.ExecuteScalarAsync(ct))!;
    }

    static async Task Run(NpgsqlConnection connection, string sql, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync(ct);
    }

    public async ValueTask DisposeAsync()
    {
        foreach (var connection in connections) await connection.DisposeAsync();
    }
}
