using System.Text;
using Custody.Bats;
using Custody.Ledger.Tests;
using Custody.Server.Accounts;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Web;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Routing;

namespace Custody.Server.Tests.Accounts;

/// <summary>Every route, and who may use it: as the table says, as the attributes say, and as the server answers.</summary>
public sealed class RouteTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    static readonly string[] Columns = ["nobody", .. Enum.GetNames<AccountRole>()];
    RunningHouse house = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => house = await RunningHouse.Start(postgres.ConnectionString, Ct);

    public async ValueTask DisposeAsync() => await house.DisposeAsync();

    [Fact]
    public async Task The_table_of_every_route_and_every_role_is_the_approved_one_and_the_server_keeps_it()
    {
        StringBuilder table = new("A mark where the role may use the route: " + string.Join(", ", Columns) + ".\n\n");
        foreach (var (method, pattern, endpoint) in Routes())
        {
            Assert.True(endpoint.Metadata.GetMetadata<IAuthorizeData>() is not null || endpoint.Metadata.GetMetadata<IAllowAnonymous>() is not null, $"{method} {pattern} names nobody.");
            var marks = "";
            foreach (var column in Columns) marks += await MayPass(method, pattern, column) ? 'x' : '-';
            Assert.True(Said(endpoint) == marks, $"{method} {pattern} says {Said(endpoint)} and lets in {marks}.");
            table.Append(marks).Append("  ").Append(method.PadRight(5)).Append(pattern).Append('\n');
        }
        Approved.Equal(table.ToString(), "Routes");
    }

    // What an owner asks for by address, and what is answered by more than a bat: a picture goes by 256 bits that only its entries name.
    static readonly string[] OfNoBat = ["/api/photographs/{hash}", "/api/photographs/{hash}/{size}"];

    [Fact]
    public async Task An_owner_finds_no_way_to_somebody_elses_bat_on_any_route()
    {
        var (ada, ben) = (await house.Party("Ada Quill"), await house.Party("Ben Orchard"));
        var (hers, his) = (await house.Bat(ada), await house.Bat(ben));
        var number = (await house.Get<Custody.Server.Recording.BatFinder>().Find(his.Id, Ct))!.Registration!.ShortNumber;
        var tried = 0;
        foreach (var (method, pattern, endpoint) in Routes().Where(r => r.Pattern.Contains('{') && r.Endpoint.Metadata.GetMetadata<IAllowAnonymous>() is null
            && Said(r.Endpoint)[Array.IndexOf(Columns, nameof(AccountRole.Owner))] == 'x').ExceptBy(OfNoBat, r => r.Pattern))
        {
            foreach (var said in new[] { his.Id, number, number.ToLowerInvariant(), $"{number[..4]}-{number[4..]}" })
                Assert.True(await Asked(method, pattern, said, ada) == 404, $"{method} {pattern} of {said} answers {await Asked(method, pattern, said, ada)}.");
            tried++;
        }
        Assert.InRange(tried, 30, 1000);
        Assert.Equal(200, await Asked("GET", "/api/bats/{id}", hers.Id, ada));
        Assert.Equal(200, await Asked("GET", "/bats/{number}", hers.Id, ada));
    }

    async Task<int> Asked(string method, string pattern, string bat, PartyId party)
    {
        var path = string.Join('/', pattern.Split('/').Select(s => s is "{id}" or "{number}" ? bat : s.StartsWith('{') ? Filled(s) : s));
        using HttpRequestMessage request = new(new(method), path);
        if (method == "POST") request.Content = new StringContent("{}", Encoding.UTF8, "application/json");
        request.Headers.Add(TestSignIn.Header, TestSignIn.Of(party, AccountRole.Owner));
        using var answer = await house.Http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, Ct);
        return (int)answer.StatusCode;
    }

    IEnumerable<(string Method, string Pattern, RouteEndpoint Endpoint)> Routes() => house.Get<EndpointDataSource>().Endpoints.OfType<RouteEndpoint>()
        .SelectMany(e => (e.Metadata.GetMetadata<HttpMethodMetadata>()?.HttpMethods ?? ["GET"]).Where(m => m is not "HEAD").Select(m => (m, "/" + e.RoutePattern.RawText!.TrimStart('/'), e)))
        .Where(r => !r.Item2.Contains("nonfile", StringComparison.Ordinal)).DistinctBy(r => (r.m, r.Item2))
        .OrderBy(r => r.Item2, StringComparer.Ordinal).ThenBy(r => r.m, StringComparer.Ordinal);

    // What the attributes say: all of several must be met.
    static string Said(RouteEndpoint endpoint)
    {
        if (endpoint.Metadata.GetMetadata<IAllowAnonymous>() is not null) return new string('x', Columns.Length);
        var named = endpoint.Metadata.GetOrderedMetadata<IAuthorizeData>().Select(a => a.Roles!.Split(',')).ToList();
        return new([.. Columns.Select(c => named.All(n => n.Contains(c)) ? 'x' : '-')]);
    }

    async Task<bool> MayPass(string method, string pattern, string column)
    {
        var path = string.Join('/', pattern.Split('/').Select(s => s.StartsWith('{') ? Filled(s) : s));
        using HttpRequestMessage request = new(new(method), path);
        // Without a body routing itself would answer that the type is wrong, before anybody asks who comes.
        if (method == "POST") request.Content = new StringContent("{}", Encoding.UTF8, "application/json");
        request.Headers.Accept.ParseAdd("application/json");
        request.Headers.Add(TestSignIn.Header, column == "nobody" ? "" : TestSignIn.Of(null, Enum.Parse<AccountRole>(column)));
        using var answer = await house.Http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, Ct);
        return !((int)answer.StatusCode is 401 or 403 || answer.Headers.Location?.OriginalString.Contains("/sign-in?", StringComparison.Ordinal) == true);
    }

    static string Filled(string segment) => segment switch
    {
        _ when segment.Contains(":int", StringComparison.Ordinal) => "404",
        _ when segment.Contains("regex", StringComparison.Ordinal) => new string('0', 64),
        "{n}" or "{earlier}" or "{later}" or "{from}" or "{to}" or "{index}" or "{size}" => "1",
        _ => "0000000",
    };
}
