using Custody.Server.Database;
using Custody.Server.Recording;
using Custody.Server.Web;

namespace Custody.Server.Operating;

/// <summary>Opens the database, prepares it, and runs the server until it is told to stop.</summary>
static class Serving
{
    public static async Task<int> Run(DirectoryInfo data, string urls, CancellationToken ct)
    {
        await using var postgres = await Postgres(data, ct);
        var place = PlaceIn(data, postgres.ConnectionString);
        Dossiers.HandingOut.Sweep(place);
        await using (var app = WebHost.Build(place, ["--urls", urls]))
        {
            await app.Services.PrepareDatabase(ct);
            if (await Accounts.FirstRun.Say(app.Services, urls, ct) is { } link) await Console.Out.WriteLineAsync(link);
            await app.RunAsync(ct);
        }
        return 0;
    }

    public static Task<IPostgresHandle> Postgres(DirectoryInfo data, CancellationToken ct) => PostgresServer.OpenAsync(
        data.FullName, PostgresOptions.FromEnvironment(Environment.GetEnvironmentVariable),
        new Progress<string>(Console.Error.WriteLine), ct);

    /// <summary>The origin is given once, by CUSTODY_ORIGIN or the default, and kept in the folder: it never changes with the host.</summary>
    public static LedgerPlace PlaceIn(DirectoryInfo data, string connectionString)
    {
        var asked = Environment.GetEnvironmentVariable("CUSTODY_ORIGIN") ?? "ledger.custody.example";
        var kept = Private.OwnerOnly.ReadOrMake(Path.Combine(data.FullName, "origin"), () => System.Text.Encoding.UTF8.GetBytes(asked));
        return new(System.Text.Encoding.UTF8.GetString(kept), connectionString, data.FullName);
    }
}
