using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Photographing;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Examiner)]
public static class PhotographingEndpoints
{
    /// <summary>Record photographs of the bat.</summary>
    [WolverinePost("/api/bats/{id}/photograph-bat")]
    public static Task<IResult> PhotographBat(string id, PhotographBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
