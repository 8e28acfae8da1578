using Custody.Server.Configuring;
using Custody.Server.Database;
using Custody.Server.Recording;
using Custody.Server.Web;
using JasperFx.Resources;

namespace Custody.Server.Operating;

/// <summary>Opens the database, prepares it, and runs the server until it is told to stop.</summary>
static class Serving
{
    public static async Task<int> Run(DirectoryInfo data, string urls, CancellationToken ct)
    {
        await using var postgres = await Postgres(data, ct);
        var place = PlaceIn(data, postgres.ConnectionString);
        Dossiers.HandingOut.Sweep(place);
        await MakeMessages(place, ct);
        await using (var app = WebHost.Build(place, ["--urls", urls]))
        {
            await app.Services.PrepareDatabase(ct);
            if (await Accounts.FirstRun.Say(app.Services, urls, ct) is { } link) await Console.Out.WriteLineAsync(link);
            await app.RunAsync(ct);
        }
        return 0;
    }

    /// <summary>Where another role owns the tables: makes those of messages, which only a whole host knows, as that role.</summary>
    internal static async Task MakeMessages(LedgerPlace place, CancellationToken ct)
    {
        if (place.OwnerConnection is null) return;
        await using var app = WebHost.Build(place.ForOwner, []);
        await using var turn = await Services.StartingTurn(app.Services, ct);
        await app.SetupResources(ct);
    }

    public static Task<IPostgresHandle> Postgres(DirectoryInfo data, CancellationToken ct) => PostgresServer.OpenAsync(
        data.FullName, PostgresOptions.FromEnvironment(Environment.GetEnvironmentVariable),
        new Progress<string>(Console.Error.WriteLine), ct);

    /// <summary>The origin is given once, by CUSTODY_ORIGIN or the default, and kept in the folder: it never changes with the host.</summary>
    public static LedgerPlace PlaceIn(DirectoryInfo data, string connectionString)
    {
        var asked = Settings.Origin.In(Environment.GetEnvironmentVariable) ?? Settings.Origin.Default;
        var kept = Private.OwnerOnly.ReadOrMake(Path.Combine(data.FullName, "origin"), () => System.Text.Encoding.UTF8.GetBytes(asked));
        return new(System.Text.Encoding.UTF8.GetString(kept), connectionString, data.FullName, OwnerConnection: Settings.PostgresOwner.In(Environment.GetEnvironmentVariable));
    }
}
