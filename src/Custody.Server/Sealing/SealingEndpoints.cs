using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Sealing;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar)]
public static class SealingEndpoints
{
    /// <summary>Close the bat's packing with a numbered seal.</summary>
    [WolverinePost("/api/bats/{id}/apply-seal")]
    public static Task<IResult> ApplySeal(string id, ApplySeal command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record that a seal was opened, or found no longer whole. Whoever sees it may record it.</summary>
    [WolverinePost("/api/bats/{id}/break-seal")]
    public static Task<IResult> BreakSeal(string id, BreakSeal command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
