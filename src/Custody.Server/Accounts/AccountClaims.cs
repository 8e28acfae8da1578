using System.Security.Claims;
using Microsoft.AspNetCore.Identity;
using Microsoft.Extensions.Options;

namespace Custody.Server.Accounts;

/// <summary>What is said of an account when it signs in: name, roles, party.</summary>
public sealed class AccountClaims(UserManager<Account> accounts, IOptions<IdentityOptions> options) : UserClaimsPrincipalFactory<Account>(accounts, options)
{
    protected override async Task<ClaimsIdentity> GenerateClaimsAsync(Account user)
    {
        var identity = await base.GenerateClaimsAsync(user);
        if (identity.FindFirst(ClaimTypes.Name) is { } name) identity.RemoveClaim(name);
        identity.AddClaims(Of(user, user.RoleNames));
        return identity;
    }

    /// <param name="roles">Names of those of its roles that count.</param>
    public static IEnumerable<Claim> Of(Account account, IEnumerable<string> roles)
    {
        yield return new(ClaimTypes.Name, account.ShownName);
        if (account.Party is not null) yield return new(Viewer.PartyClaim, account.Party);
        foreach (var role in roles.Intersect(account.RoleNames, StringComparer.Ordinal)) yield return new(ClaimTypes.Role, role);
    }
}
