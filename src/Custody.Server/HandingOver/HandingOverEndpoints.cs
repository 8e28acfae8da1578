using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.HandingOver;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Owner)]
public static class HandingOverEndpoints
{
    /// <summary>The bat is put elsewhere by its custodian, who keeps it.</summary>
    [WolverinePost("/api/bats/{id}/move-bat")]
    public static Task<IResult> MoveBat(string id, MoveBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>The one who released the bat calls it back before it was received.</summary>
    [WolverinePost("/api/bats/{id}/recall-handover")]
    public static Task<IResult> RecallHandover(string id, RecallHandover command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>The taking side of a hand-over.</summary>
    [WolverinePost("/api/bats/{id}/receive-bat")]
    public static Task<IResult> ReceiveBat(string id, ReceiveBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>The named recipient does not take the bat; it goes back to the one who released it.</summary>
    [WolverinePost("/api/bats/{id}/refuse-handover")]
    public static Task<IResult> RefuseHandover(string id, RefuseHandover command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>The giving side of a hand-over.</summary>
    [WolverinePost("/api/bats/{id}/release-bat")]
    public static Task<IResult> ReleaseBat(string id, ReleaseBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Report who kept the bat elsewhere or before, as attested; present custody does not move.</summary>
    [WolverinePost("/api/bats/{id}/report-custody")]
    public static Task<IResult> ReportCustody(string id, ReportCustody command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>The bat did not reach the one it was bound for: it is with somebody else, or nobody knows where.</summary>
    [WolverinePost("/api/bats/{id}/report-misdelivery")]
    public static Task<IResult> ReportMisdelivery(string id, ReportMisdelivery command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
