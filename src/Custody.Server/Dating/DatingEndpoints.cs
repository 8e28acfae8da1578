using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Dating;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Examiner)]
public static class DatingEndpoints
{
    /// <summary>List where the bat could have been, with the signs each place left, and which findings of an examination show them.</summary>
    [WolverinePost("/api/bats/{id}/list-whereabouts")]
    public static Task<IResult> ListWhereabouts(string id, ListWhereabouts command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record facts that bound when the bat was made, ordered, shipped, marked and used. The seasons they leave are computed, never recorded here.</summary>
    [WolverinePost("/api/bats/{id}/record-dating")]
    public static Task<IResult> RecordDating(string id, RecordDating command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
