using Npgsql;

namespace Custody.Server.Recording;

/// <summary>Two roles of the database: the owner makes and changes tables, the server records. What the server's role may do stands in <c>server-role.sql</c>: it can
/// add entries and leaves and can neither change nor remove one, nor switch off the triggers that refuse it, because it owns nothing.</summary>
static class ServerRole
{
    /// <summary>Makes what is missing as the owner, in the turn that the caller has, then grants the server's role what recording needs.</summary>
    /// <exception cref="Configuring.SettingFault">Both connections are of one role.</exception>
    public static async Task Prepare(LedgerPlace place, CancellationToken ct)
    {
        await using var own = OfOwner(place.ForOwner);
        await Services.MakeTables(own, ct);
        var role = new NpgsqlConnectionStringBuilder(place.ConnectionString).Username!;
        await Grant(own.GetRequiredService<NpgsqlDataSource>(), place, role, ct);
    }

    static ServiceProvider OfOwner(LedgerPlace place)
    {
        ServiceCollection services = new();
        services.AddLogging();
        services.AddSingleton(TimeProvider.System);
        services.AddLedger(place);
        return services.BuildServiceProvider();
    }

    static async Task Grant(NpgsqlDataSource owner, LedgerPlace place, string role, CancellationToken ct)
    {
        await using var connection = await owner.OpenConnectionAsync(ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        string[] schemas = [place.Schema, Accounts.AccountServices.SchemaOf(place), place.Messages];
        await using (var ask = new NpgsqlCommand("select current_user = $1", connection, transaction))
        {
            ask.Parameters.AddWithValue(role);
            if ((bool)(await ask.ExecuteScalarAsync(ct))!) throw new Configuring.SettingFault($"{Configuring.Settings.PostgresOwner.Name} and {Configuring.Settings.Postgres.Name} name one role; the server's must own nothing.");
        }
        var sql = (await Schema.Resource("server-role.sql", place.Schema, ct)).Replace("{role}", Quoted(role), StringComparison.Ordinal);
        foreach (var schema in schemas)
            await Run($"create schema if not exists {schema};\n{Each.Replace("{schema}", schema, StringComparison.Ordinal).Replace("{role}", Quoted(role), StringComparison.Ordinal)}");
        await Run(sql);
        await transaction.CommitAsync(ct);

        async Task Run(string text)
        {
            await using var command = new NpgsqlCommand(text, connection, transaction);
            await command.ExecuteNonQueryAsync(ct);
        }
    }

    const string Each =
        """
        grant usage on schema {schema} to {role};
        grant select, insert, update, delete on all tables in schema {schema} to {role};
        grant usage, select, update on all sequences in schema {schema} to {role};
        grant execute on all functions in schema {schema} to {role};
        """;

    static string Quoted(string role) => $"\"{role.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}
