using System.Security.Claims;
using System.Text.Encodings.Web;
using Microsoft.AspNetCore.Authentication;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Options;

namespace Custody.Server.Accounts;

/// <summary>Signs a program in by <c>Authorization: Bearer</c> (RFC 6750 section 2.1), for one request.</summary>
public sealed class TokenSignIn(IOptionsMonitor<AuthenticationSchemeOptions> options, ILoggerFactory logger, UrlEncoder encoder, AccountsDb db)
    : AuthenticationHandler<AuthenticationSchemeOptions>(options, logger, encoder)
{
    public const string SchemeName = "token", Prefix = "Bearer ";

    protected override async Task<AuthenticateResult> HandleAuthenticateAsync()
    {
        if (Request.Headers.Authorization.ToString() is not { Length: > 7 and < 200 } said || !said.StartsWith(Prefix, StringComparison.OrdinalIgnoreCase)) return AuthenticateResult.NoResult();
        var (digest, now) = (Secrets.Digest(said[Prefix.Length..].Trim()), TimeProvider.GetUtcNow());
        var found = await (from token in db.Tokens.AsNoTracking()
                           join account in db.Users.AsNoTracking() on token.AccountId equals account.Id
                           where token.TokenDigest == digest && token.Expires > now && account.Closed == null
                           select new { token, account }).FirstOrDefaultAsync(Context.RequestAborted);
        if (found is null) return AuthenticateResult.Fail("The token is not known, has expired or was revoked.");
        ClaimsIdentity identity = new([new(ClaimTypes.NameIdentifier, found.account.Id), .. AccountClaims.Of(found.account, found.token.RoleNames)], SchemeName);
        return AuthenticateResult.Success(new(new(identity), SchemeName));
    }

    protected override Task HandleChallengeAsync(AuthenticationProperties properties)
    {
        Response.Headers.WWWAuthenticate = "Bearer";
        return Web.Problems.NotSignedIn().ExecuteAsync(Context);
    }

    protected override Task HandleForbiddenAsync(AuthenticationProperties properties) => Web.Problems.NotForYou().ExecuteAsync(Context);
}
