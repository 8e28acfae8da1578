using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Treating;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Examiner)]
public static class TreatingEndpoints
{
    /// <summary>Report a treatment that was done elsewhere or before. What an examiner finds on the wood is a finding instead.</summary>
    [WolverinePost("/api/bats/{id}/report-treatment")]
    public static Task<IResult> ReportTreatment(string id, ReportTreatment command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record a treatment done here, with the bat before and after.</summary>
    [WolverinePost("/api/bats/{id}/treat-bat")]
    public static Task<IResult> TreatBat(string id, TreatBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
