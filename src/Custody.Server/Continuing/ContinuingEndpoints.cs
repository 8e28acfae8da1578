using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Continuing;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar)]
public static class ContinuingEndpoints
{
    /// <summary>Say that this history goes on from another house's ledger.</summary>
    [WolverinePost("/api/bats/{id}/continue-from")]
    public static Task<IResult> ContinueFrom(string id, ContinueFrom command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Say that this history goes on in another house's ledger.</summary>
    [WolverinePost("/api/bats/{id}/continue-in")]
    public static Task<IResult> ContinueIn(string id, ContinueIn command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
