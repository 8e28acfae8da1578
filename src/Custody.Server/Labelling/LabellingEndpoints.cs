using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Labelling;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar)]
public static class LabellingEndpoints
{
    /// <summary>Issue a label for the bat.</summary>
    [WolverinePost("/api/bats/{id}/issue-label")]
    public static Task<IResult> IssueLabel(string id, IssueLabel command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Replace a label: issues the new one, then ends the old one.</summary>
    [WolverinePost("/api/bats/{id}/replace-label")]
    public static Task<IResult> ReplaceLabel(string id, ReplaceLabel command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Report something noticed about a label, by anyone.</summary>
    [WolverinePost("/api/bats/{id}/report-label")]
    public static Task<IResult> ReportLabel(string id, ReportLabel command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Void a label without a new one.</summary>
    [WolverinePost("/api/bats/{id}/void-label")]
    public static Task<IResult> VoidLabel(string id, VoidLabel command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
