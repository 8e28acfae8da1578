using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Incidents;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Owner)]
public static class IncidentsEndpoints
{
    /// <summary>Report damage or loss: here, on the way, or before. Moves nothing by itself.</summary>
    [WolverinePost("/api/bats/{id}/report-incident")]
    public static Task<IResult> ReportIncident(string id, ReportIncident command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record an insurer's settlement.</summary>
    [WolverinePost("/api/bats/{id}/settle-insurance")]
    public static Task<IResult> SettleInsurance(string id, SettleInsurance command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
