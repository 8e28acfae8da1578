using System.Security.Claims;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Identity;

namespace Custody.Server.Accounts;

/// <summary>Signing in elsewhere (OpenID Connect), when the keeper configured it.</summary>
static class Elsewheres
{
    public const string SchemeName = "elsewhere";

    /// <summary>Adds it where <c>CUSTODY_OIDC_AUTHORITY</c> names an issuer; its client, secret and the name shown are in the variables beside it.</summary>
    /// <exception cref="ArgumentException">The authority is no https address.</exception>
    public static AuthenticationBuilder AddElsewhereOf(this AuthenticationBuilder builder, Func<string, string?> setting)
    {
        if (setting("CUSTODY_OIDC_AUTHORITY") is not { Length: > 0 } authority) return builder;
        if (!Uri.TryCreate(authority, UriKind.Absolute, out var address) || !(address.Scheme == Uri.UriSchemeHttps || address.IsLoopback))
            throw new ArgumentException("CUSTODY_OIDC_AUTHORITY must be an https address.");
        return builder.AddOpenIdConnect(SchemeName, setting("CUSTODY_OIDC_NAME") ?? address.Host, options =>
        {
            (options.Authority, options.ClientId, options.ClientSecret) = (authority, setting("CUSTODY_OIDC_CLIENT"), setting("CUSTODY_OIDC_SECRET"));
            options.RequireHttpsMetadata = !address.IsLoopback;
            options.SignInScheme = IdentityConstants.ExternalScheme;
            options.ResponseType = "code";
            options.UsePkce = true;
            options.MapInboundClaims = false;
            options.Scope.Add("email");
            options.CallbackPath = "/signed-in-elsewhere";
        });
    }

    /// <summary>Ties the login to the account invited with that address. Only an address that the issuer itself verified counts: any other could be claimed by anybody.</summary>
    public static async Task<bool> Link(ExternalLoginInfo login, UserManager<Account> accounts, SignInManager<Account> signIn)
    {
        var verified = login.Principal.FindFirstValue("email_verified") is "true" or "True";
        if (!verified || login.Principal.FindFirstValue("email") is not { Length: > 0 } address || await accounts.FindByNameAsync(address) is not { Closed: null } account) return false;
        if (!(await accounts.AddLoginAsync(account, login)).Succeeded) return false;
        await signIn.SignInAsync(account, isPersistent: false);
        return true;
    }
}
