using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Acquiring;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Owner)]
public static class AcquiringEndpoints
{
    /// <summary>Title moves here, outside any sale recorded on this bat: whose it is said to be from now on, all shares.</summary>
    [WolverinePost("/api/bats/{id}/acquire-bat")]
    public static Task<IResult> AcquireBat(string id, AcquireBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Report that someone acquired the bat elsewhere or before, as attested; present title does not move.</summary>
    [WolverinePost("/api/bats/{id}/report-acquisition")]
    public static Task<IResult> ReportAcquisition(string id, ReportAcquisition command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
