using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Grading;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Examiner)]
public static class GradingEndpoints
{
    /// <summary>Give an opinion of a house.</summary>
    [WolverinePost("/api/bats/{id}/give-opinion")]
    public static Task<IResult> GiveOpinion(string id, GiveOpinion command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Give an opinion of a house whose numbers are computed; they are stated with everything they were computed from.</summary>
    [WolverinePost("/api/bats/{id}/give-computed-opinion")]
    public static Task<IResult> GiveComputedOpinion(string id, GiveComputedOpinion command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record somebody's reply to an opinion; it stands beside it.</summary>
    [WolverinePost("/api/bats/{id}/record-reply")]
    public static Task<IResult> RecordReply(string id, RecordReply command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Report an opinion that somebody else gave, or that was given before this ledger. When it was given is the occurrence's date.</summary>
    [WolverinePost("/api/bats/{id}/report-opinion")]
    public static Task<IResult> ReportOpinion(string id, ReportOpinion command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Report that whoever gave an opinion elsewhere withdrew it.</summary>
    [WolverinePost("/api/bats/{id}/report-opinion-withdrawal")]
    public static Task<IResult> ReportOpinionWithdrawal(string id, ReportOpinionWithdrawal command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Withdraw an opinion of one's own house. That it was given still shows.</summary>
    [WolverinePost("/api/bats/{id}/withdraw-opinion")]
    public static Task<IResult> WithdrawOpinion(string id, WithdrawOpinion command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
