using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Correcting;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner)]
public static class CorrectingEndpoints
{
    /// <summary>Look again at an entry that became open work, and let it stand as it is.</summary>
    [WolverinePost("/api/bats/{id}/confirm-entry")]
    public static Task<IResult> ConfirmEntry(string id, ConfirmEntry command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Correct an entry of this bat.</summary>
    [WolverinePost("/api/bats/{id}/correct-entry")]
    public static Task<IResult> CorrectEntry(string id, CorrectEntry command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Say that an entry of this bat restates what was wrongly recorded on another one.</summary>
    [WolverinePost("/api/bats/{id}/link-restated")]
    public static Task<IResult> LinkRestated(string id, LinkRestated command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
