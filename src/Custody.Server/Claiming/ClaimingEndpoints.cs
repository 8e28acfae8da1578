using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Claiming;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Owner)]
public static class ClaimingEndpoints
{
    /// <summary>Lift a hold, with a reason.</summary>
    [WolverinePost("/api/bats/{id}/lift-hold"), MayUse(AccountRole.Registrar)]
    public static Task<IResult> LiftHold(string id, LiftHold command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Stop acts of the named scope, and nothing else, until the hold is lifted.</summary>
    [WolverinePost("/api/bats/{id}/place-hold"), MayUse(AccountRole.Registrar)]
    public static Task<IResult> PlaceHold(string id, PlaceHold command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record that someone claims something of this bat. The public sees that a claim is open and since when, never its text.</summary>
    [WolverinePost("/api/bats/{id}/raise-claim")]
    public static Task<IResult> RaiseClaim(string id, RaiseClaim command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>The bat is known to be with someone again: after it was missing, misdelivered, or when nobody knew who kept it.</summary>
    [WolverinePost("/api/bats/{id}/record-recovery")]
    public static Task<IResult> RecordRecovery(string id, RecordRecovery command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Report that the bat is missing. When its own custodian reports it, custody is not known from then on.</summary>
    [WolverinePost("/api/bats/{id}/report-missing")]
    public static Task<IResult> ReportMissing(string id, ReportMissing command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record how a claim ended, and whose the bat is said to be if that changed with it.</summary>
    [WolverinePost("/api/bats/{id}/resolve-claim"), MayUse(AccountRole.Registrar)]
    public static Task<IResult> ResolveClaim(string id, ResolveClaim command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
