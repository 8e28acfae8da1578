using System.Net;
using System.Text.RegularExpressions;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Web;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Npgsql;

namespace Custody.Benchmarks;

/// <summary>The whole server on a port of the loopback interface, over a ledger of its own on the same PostgreSQL.</summary>
sealed partial class BenchHouse : IAsyncDisposable
{
    const string Password = "five words nobody else says";

    readonly WebApplication app;
    readonly LedgerPlace place;

    BenchHouse(WebApplication app, LedgerPlace place) => (this.app, this.place) = (app, place);

    public T Get<T>() where T : notnull => app.Services.GetRequiredService<T>();

    public static async Task<BenchHouse> Start(Bench bench, CancellationToken ct)
    {
        var place = bench.Place with { DataFolder = bench.Place.Folder("house"), Schema = "house" };
        Directory.CreateDirectory(place.DataFolder);
        var app = WebHost.Build(place, ["--urls", "http://127.0.0.1:0"], builder => builder.Logging.ClearProviders());
        await app.Services.PrepareDatabase(ct);
        await app.StartAsync(ct);
        return new(app, place);
    }

    /// <summary>Whether something recorded is not yet published and indexed.</summary>
    public async Task<bool> Waiting(CancellationToken ct)
    {
        await using var command = Get<NpgsqlDataSource>().CreateCommand(
            $"select exists (select from {place.Schema}.custody_pending) or coalesce((select size from {place.Schema}.custody_search_progress), 0) < (select count(*) from {place.Schema}.custody_leaf)");
        return (bool)(await command.ExecuteScalarAsync(ct))! || Get<SequencerStanding>().Published == 0;
    }

    /// <summary>A program with a token, acting for a party as its registrar.</summary>
    public async Task<HttpClient> Program(PartyId party, CancellationToken ct)
    {
        await using var scope = app.Services.CreateAsyncScope();
        var desk = scope.ServiceProvider.GetRequiredService<AccountDesk>();
        var (account, refused) = await desk.MakeProgram("benchmark", [AccountRole.Registrar], party, ct);
        if (account is null) throw new InvalidOperationException(refused!.Sentence);
        var (token, _) = await desk.MakeToken(account, "measuring", [AccountRole.Registrar], TimeSpan.FromDays(1), ct);
        HttpClient http = new() { BaseAddress = new(app.Urls.Single()) };
        http.DefaultRequestHeaders.Authorization = new("Bearer", token);
        return http;
    }

    /// <summary>A person with a browser who has signed in.</summary>
    public async Task<HttpClient> Person(PartyId party, CancellationToken ct)
    {
        await using var scope = app.Services.CreateAsyncScope();
        var desk = scope.ServiceProvider.GetRequiredService<AccountDesk>();
        var (token, _) = await desk.Invite("registrar", "The registrar", [AccountRole.Registrar], party, ct);
        await desk.Take(token!, Password, ct);
        HttpClient http = new(new HttpClientHandler { CookieContainer = new CookieContainer(), AllowAutoRedirect = false }) { BaseAddress = new(app.Urls.Single()) };
        http.DefaultRequestHeaders.Add("Accept", "text/html");
        http.DefaultRequestHeaders.Add("Accept-Encoding", "br");
        var proof = Proof().Match(await http.GetStringAsync("/sign-in", ct)).Groups[1].Value;
        using FormUrlEncodedContent form = new(new Dictionary<string, string> { ["Name"] = "registrar", ["Password"] = Password, ["__RequestVerificationToken"] = proof });
        using var answer = await http.PostAsync("/sign-in", form, ct);
        return answer.StatusCode == HttpStatusCode.Redirect ? http : throw new InvalidOperationException($"Signing in was answered with {(int)answer.StatusCode}.");
    }

    public async ValueTask DisposeAsync()
    {
        await app.StopAsync();
        await app.DisposeAsync();
    }

    [GeneratedRegex("name=\"__RequestVerificationToken\" type=\"hidden\" value=\"([^\"]+)\"")]
    private static partial Regex Proof();
}
