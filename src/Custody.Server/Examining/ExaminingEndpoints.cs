using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Examining;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Examiner)]
public static class ExaminingEndpoints
{
    /// <summary>Close an examination. Only a closed one carries an opinion of the house (rule 4).</summary>
    [WolverinePost("/api/bats/{id}/close-examination")]
    public static Task<IResult> CloseExamination(string id, CloseExamination command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Lock the findings on the bat before anything else is looked at. They are numbered f1, f2, ... as listed.</summary>
    [WolverinePost("/api/bats/{id}/lock-findings")]
    public static Task<IResult> LockFindings(string id, LockFindings command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Open an examination of the bat.</summary>
    [WolverinePost("/api/bats/{id}/open-examination")]
    public static Task<IResult> OpenExamination(string id, OpenExamination command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Revise locked findings, in an open or a closed examination. The first ones stay to be read.</summary>
    [WolverinePost("/api/bats/{id}/revise-findings")]
    public static Task<IResult> ReviseFindings(string id, ReviseFindings command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Show the examiner something besides the bat. The ledger knows what was opened through it, and says no more than that.</summary>
    [WolverinePost("/api/bats/{id}/unmask")]
    public static Task<IResult> Unmask(string id, Unmask command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
