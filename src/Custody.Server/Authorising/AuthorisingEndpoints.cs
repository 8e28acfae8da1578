using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Authorising;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Owner)]
public static class AuthorisingEndpoints
{
    /// <summary>End an authority.</summary>
    [WolverinePost("/api/bats/{id}/end-authority")]
    public static Task<IResult> EndAuthority(string id, EndAuthority command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record that someone may act for another on this bat.</summary>
    [WolverinePost("/api/bats/{id}/record-authority")]
    public static Task<IResult> RecordAuthority(string id, RecordAuthority command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
