using System.Security.Claims;
using Custody.Server.Configuring;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Identity;

namespace Custody.Server.Accounts;

/// <summary>Signing in elsewhere (OpenID Connect), when the keeper configured it.</summary>
static class Elsewheres
{
    public const string SchemeName = "elsewhere";

    /// <summary>Adds it where <c>CUSTODY_OIDC_AUTHORITY</c> names an issuer; its client, secret and the name shown are in the variables beside it.</summary>
    /// <exception cref="SettingFault">The authority is no https address.</exception>
    public static AuthenticationBuilder AddElsewhereOf(this AuthenticationBuilder builder, Func<string, string?> setting)
    {
        if (Settings.OidcAuthority.In(setting) is not { } authority) return builder;
        if (!Uri.TryCreate(authority, UriKind.Absolute, out var address) || !(address.Scheme == Uri.UriSchemeHttps || address.IsLoopback))
            throw new SettingFault($"{Settings.OidcAuthority.Name} must be an https address.");
        return builder.AddOpenIdConnect(SchemeName, Settings.OidcName.In(setting) ?? address.Host, options =>
        {
            (options.Authority, options.ClientId, options.ClientSecret) = (authority, Settings.OidcClient.In(setting), Settings.OidcSecret.In(setting));
            options.RequireHttpsMetadata = !address.IsLoopback;
            options.SignInScheme = IdentityConstants.ExternalScheme;
            options.ResponseType = "code";
            // The answer comes by an ordinary link, so that the cookies that bind it to this browser can be as strict as the others.
            options.ResponseMode = "query";
            options.CorrelationCookie.SameSite = options.NonceCookie.SameSite = SameSiteMode.Lax;
            options.CorrelationCookie.SecurePolicy = options.NonceCookie.SecurePolicy = CookieSecurePolicy.SameAsRequest;
            options.Events.OnRemoteFailure = failed =>
            {
                // Refused there, given up, or nothing that this browser asked for.
                failed.Response.Redirect("/sign-in?handler=FromElsewhere");
                failed.HandleResponse();
                return Task.CompletedTask;
            };
            options.UsePkce = true;
            options.MapInboundClaims = false;
            options.Scope.Add("email");
            options.CallbackPath = "/signed-in-elsewhere";
        });
    }

    /// <summary>The account that this login is, or becomes, tied to: one with that address, or invited with it. Only an address that the issuer itself verified
    /// counts: any other could be claimed by anybody.</summary>
    /// <returns>Null when there is none, or it is closed.</returns>
    public static async Task<Account?> AccountOf(ExternalLoginInfo login, UserManager<Account> accounts, AccountDesk desk, CancellationToken ct)
    {
        if (await accounts.FindByLoginAsync(login.LoginProvider, login.ProviderKey) is { } tied) return tied.Closed is null ? tied : null;
        // A name that is no address, such as the first keeper's, is nobody's whom an issuer could vouch for.
        if (login.Principal.FindFirstValue("email_verified") is not ("true" or "True") || login.Principal.FindFirstValue("email") is not { } address || !address.Contains('@')) return null;
        var account = await accounts.FindByNameAsync(address) ?? await desk.TakeByAddress(address, ct);
        return account is { Closed: null } && (await accounts.AddLoginAsync(account, login)).Succeeded ? account : null;
    }
}
