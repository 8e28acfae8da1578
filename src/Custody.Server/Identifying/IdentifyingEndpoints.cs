using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Identifying;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Examiner)]
public static class IdentifyingEndpoints
{
    /// <summary>Compare the bat in hand with one of its baselines.</summary>
    [WolverinePost("/api/bats/{id}/check-identity")]
    public static Task<IResult> CheckIdentity(string id, CheckIdentity command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Say, on the younger of two records, that it is of the same bat as the older one.</summary>
    [WolverinePost("/api/bats/{id}/declare-same-bat")]
    public static Task<IResult> DeclareSameBat(string id, DeclareSameBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record that the bat no longer exists. What was begun on it can still be finished: claims resolved, holds lifted, insurance paid.</summary>
    [WolverinePost("/api/bats/{id}/destroy-bat")]
    public static Task<IResult> DestroyBat(string id, DestroyBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record that the bat is in pieces, each with a record of its own. Register the pieces first and cite their registrations.</summary>
    [WolverinePost("/api/bats/{id}/divide-bat")]
    public static Task<IResult> DivideBat(string id, DivideBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Say, on the older of two records, that a younger one is of the same bat.</summary>
    [WolverinePost("/api/bats/{id}/find-duplicate")]
    public static Task<IResult> FindDuplicate(string id, FindDuplicate command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Take back, on the older record, that another is of the same bat.</summary>
    [WolverinePost("/api/bats/{id}/withdraw-duplicate")]
    public static Task<IResult> WithdrawDuplicate(string id, WithdrawDuplicate command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Say that this bat and another were taken for one another.</summary>
    [WolverinePost("/api/bats/{id}/find-mix-up")]
    public static Task<IResult> FindMixUp(string id, FindMixUp command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record that pieces were put together, on the record that goes on as the whole.</summary>
    [WolverinePost("/api/bats/{id}/join-parts")]
    public static Task<IResult> JoinParts(string id, JoinParts command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Say, on a piece's own record, that it was joined into a whole, which goes on. Comes second.</summary>
    [WolverinePost("/api/bats/{id}/join-piece")]
    public static Task<IResult> JoinPiece(string id, JoinPiece command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record what this very bat looks like and measures, so that a swap shows later.</summary>
    [WolverinePost("/api/bats/{id}/record-baseline")]
    public static Task<IResult> RecordBaseline(string id, RecordBaseline command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Take back what ended this record: that it is the same bat as another, was divided, joined into a whole, or destroyed.</summary>
    [WolverinePost("/api/bats/{id}/reopen-record")]
    public static Task<IResult> ReopenRecord(string id, ReopenRecord command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Settle a mix-up on one of its two bats, at once or in several goes.</summary>
    [WolverinePost("/api/bats/{id}/settle-mix-up")]
    public static Task<IResult> SettleMixUp(string id, SettleMixUp command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
