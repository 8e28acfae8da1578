using Npgsql;

namespace Custody.Server.Tests.Database;

public class PostgresForTestsTests(PostgresForTests postgres, ITestOutputHelper output) : IClassFixture<PostgresForTests>
{
    [Fact]
    public async Task Each_class_has_an_empty_utf8_database_owned_by_an_ordinary_role()
    {
        output.WriteLine($"Tests run on {postgres.Description}");
        await using var connection = new NpgsqlConnection(postgres.ConnectionString);
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        await using var ask = new NpgsqlCommand(
            """
            SELECT current_setting('server_encoding'), current_setting('is_superuser'), count(*)
            FROM pg_tables WHERE schemaname NOT IN ('pg_catalog', 'information_schema')
            """, connection);
        await using var row = await ask.ExecuteReaderAsync(TestContext.Current.CancellationToken);
        await row.ReadAsync(TestContext.Current.CancellationToken);

        Assert.Equal(("UTF8", "off", 0L), (row.GetString(0), row.GetString(1), row.GetInt64(2)));
    }
}
