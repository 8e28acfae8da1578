using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Searching;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner)]
public static class SearchingEndpoints
{
    /// <summary>Record a search of a theft list or another register.</summary>
    [WolverinePost("/api/bats/{id}/record-search")]
    public static Task<IResult> RecordSearch(string id, RecordSearch command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>State that for some time nobody knows who held or kept the bat, and what was searched for it (rule 1.</summary>
    [WolverinePost("/api/bats/{id}/state-gap")]
    public static Task<IResult> StateGap(string id, StateGap command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
