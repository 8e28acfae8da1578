using System.Security.Claims;
using System.Text.Encodings.Web;
using Custody.Bats;
using Custody.Server.Accounts;
using Microsoft.AspNetCore.Authentication;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;

namespace Custody.Browser.Tests.Rooms;

/// <summary>Signs a browser in by a header, so that a test of a room starts inside it. The way through the door has tests of its own.</summary>
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
}
