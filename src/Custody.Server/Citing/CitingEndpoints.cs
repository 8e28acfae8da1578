using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Citing;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Examiner, AccountRole.Registrar)]
public static class CitingEndpoints
{
    /// <summary>Cite a source for the bat.</summary>
    [WolverinePost("/api/bats/{id}/cite-source")]
    public static Task<IResult> CiteSource(string id, CiteSource command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Withdraw a source: whatever rests on it becomes open work.</summary>
    [WolverinePost("/api/bats/{id}/withdraw-source")]
    public static Task<IResult> WithdrawSource(string id, WithdrawSource command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
