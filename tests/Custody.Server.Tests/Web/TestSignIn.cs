using System.Security.Claims;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Server.Accounts;
using Microsoft.AspNetCore.Authentication;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;

namespace Custody.Server.Tests.Web;

/// <summary>Signs a request in by a header, so that a test starts inside the house. The way through the door has tests of its own.</summary>
sealed class TestSignIn(IOptionsMonitor<AuthenticationSchemeOptions> options, ILoggerFactory logger, UrlEncoder encoder)
    : AuthenticationHandler<AuthenticationSchemeOptions>(options, logger, encoder)
{
    public const string SchemeName = "test", Header = "X-Test-Account";

    /// <summary>What the header says: roles, a comma between them, and the party acted for.</summary>
    public static string Of(PartyId? party, params AccountRole[] roles) => $"{string.Join(',', roles)};{party}";

    protected override Task<AuthenticateResult> HandleAuthenticateAsync()
    {
        if (Request.Headers[Header].ToString() is not { Length: > 0 } said) return Task.FromResult(AuthenticateResult.NoResult());
        var (roles, party) = (said.Split(';')[0].Split(','), said.Split(';')[1]);
        List<System.Security.Claims.Claim> claims = [new(ClaimTypes.NameIdentifier, said), new(ClaimTypes.Name, $"Test {roles[0]}"), .. roles.Select(r => new System.Security.Claims.Claim(ClaimTypes.Role, r))];
        if (party.Length > 0) claims.Add(new(Viewer.PartyClaim, party));
        return Task.FromResult(AuthenticateResult.Success(new(new(new ClaimsIdentity(claims, Scheme.Name)), Scheme.Name)));
    }

    /// <summary>Adds it to a server under test; a request without the header goes the usual way.</summary>
    public static void AddTo(IServiceCollection services) => services.AddAuthentication(SchemeName).AddScheme<AuthenticationSchemeOptions, TestSignIn>(
        SchemeName, options => options.ForwardDefaultSelector = http => http.Request.Headers.ContainsKey(Header) ? null : AccountServices.Either);
}

/// <summary>Sends each request as somebody with every role who acts for the party that the body's <c>by</c> names, unless the request says otherwise.</summary>
sealed class AsWhoeverActs(HttpMessageHandler inner) : DelegatingHandler(inner)
{
    protected override async Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken ct)
    {
        if (!request.Headers.Contains(TestSignIn.Header)) request.Headers.Add(TestSignIn.Header, TestSignIn.Of(await By(request.Content, ct), Enum.GetValues<AccountRole>()));
        return await base.SendAsync(request, ct);
    }

    static async Task<PartyId?> By(HttpContent? content, CancellationToken ct)
    {
        if (content?.Headers.ContentType?.MediaType != "application/json") return null;
        try
        {
            return StreamName.TryParse((string?)JsonNode.Parse(await content.ReadAsStringAsync(ct))?["by"], out var stream) && stream.Kind == "party" ? new PartyId(stream) : null;
        }
        catch (Exception unreadable) when (unreadable is JsonException or InvalidOperationException or ArgumentException)
        {
            return null; // a test of bodies that cannot be read
        }
    }
}
