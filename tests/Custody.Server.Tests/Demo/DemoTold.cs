using Custody.Server.Operating.Demo;
using Custody.Server.Tests.Database;
using Npgsql;

namespace Custody.Server.Tests.Demo;

/// <summary>The demo told twice on one real database: everything the tests look at.</summary>
public sealed class DemoTold : IAsyncLifetime
{
    readonly PostgresForTests postgres = new();

    public DirectoryInfo Data { get; } = Directory.CreateTempSubdirectory("custody-demo-data-");
    public DirectoryInfo Output { get; } = Directory.CreateTempSubdirectory("custody-demo-out-");

    public string ConnectionString => postgres.ConnectionString;

    internal DemoScript Script { get; } = DemoScript.Read(Path.Combine(AppContext.BaseDirectory, "demo-events"));

    public (int Code, string Said) First { get; private set; }
    public (int Code, string Said) Second { get; private set; }
    public IReadOnlyList<long> CountsAfterFirst { get; private set; } = [];
    public IReadOnlyList<long> CountsAfterSecond { get; private set; } = [];

    public async ValueTask InitializeAsync()
    {
        await postgres.InitializeAsync();
        (First, CountsAfterFirst) = (await Tell(), await Counts());
        (Second, CountsAfterSecond) = (await Tell(), await Counts());
    }

    async Task<(int, string)> Tell()
    {
        using var said = new StringWriter();
        var code = await new DemoRun(Script, Output, said).Run(Data, postgres.ConnectionString, CancellationToken.None);
        return (code, said.ToString());
    }

    /// <summary>Events and leaves of each ledger.</summary>
    async Task<IReadOnlyList<long>> Counts()
    {
        List<long> counts = [];
        foreach (var table in Schemas.SelectMany(s => new[] { $"{s}.mt_events", $"{s}.custody_leaf" }))
            counts.Add((long)(await Query($"select count(*) from {table}"))[0]);
        return counts;
    }

    public static IReadOnlyList<string> Schemas { get; } = ["custody", "merrow"];

    public async Task<IReadOnlyList<object>> Query(string sql)
    {
        await using var database = NpgsqlDataSource.Create(postgres.ConnectionString);
        await using var command = database.CreateCommand(sql);
        List<object> found = [];
        await using var reader = await command.ExecuteReaderAsync();
        while (await reader.ReadAsync()) found.Add(reader.GetValue(0));
        return found;
    }

    public async ValueTask DisposeAsync()
    {
        await postgres.DisposeAsync();
        Data.Delete(recursive: true);
        Output.Delete(recursive: true);
    }
}
