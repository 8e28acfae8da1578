using System.Security.Claims;
using Custody.Bats;

namespace Custody.Server.Accounts;

/// <summary>Who is signed in, as far as pages and doorways need to know.</summary>
/// <param name="Id">The account's identifier; random, says nothing.</param>
/// <param name="Name">The name shown on screens.</param>
/// <param name="Party">The party this account acts for in the ledger: the house for its staff, the owner for an owner. Null for who never acts on a bat.</param>
public sealed record Viewer(string Id, string Name, IReadOnlySet<AccountRole> Roles, PartyId? Party)
{
    /// <summary>Claim that holds the party's stream name.</summary>
    public const string PartyClaim = "custody:party";

    /// <summary>Null when nobody is signed in.</summary>
    public static Viewer? Of(ClaimsPrincipal user) => user.Identity?.IsAuthenticated != true ? null : new(
        user.FindFirstValue(ClaimTypes.NameIdentifier)!,
        user.FindFirstValue(ClaimTypes.Name) ?? "",
        user.FindAll(ClaimTypes.Role).Select(c => Enum.Parse<AccountRole>(c.Value)).ToHashSet(),
        user.FindFirstValue(PartyClaim) is { } party ? PartyId.Parse(party) : null);

    public bool Is(AccountRole role) => Roles.Contains(role);

    public bool IsAny(params AccountRole[] roles) => Roles.Overlaps(roles);

    /// <summary>Sees the bats of the house, not only bats of their own.</summary>
    public bool SeesEveryBat => IsAny(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Auditor);
}
