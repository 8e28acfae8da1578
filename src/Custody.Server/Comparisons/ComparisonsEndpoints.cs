using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Comparisons;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Examiner)]
public static class ComparisonsEndpoints
{
    /// <summary>Define a characteristic of the comparison file.</summary>
    [WolverinePost("/api/comparison-files/{id}/define-comparison-characteristic")]
    public static Task<IResult> DefineComparisonCharacteristic(string id, DefineComparisonCharacteristic command, ActDoor door, HttpContext http) => door.Act("comparison", id, command, http);

    /// <summary>Open a file of other professionals' bats.</summary>
    [WolverinePost("/api/comparison-files")]
    public static Task<IResult> OpenComparisonFile(OpenComparisonFile command, ActDoor door, HttpContext http) => door.Begin("comparison", command, http);

    /// <summary>Record an occasion of another professional's bat.</summary>
    [WolverinePost("/api/comparison-files/{id}/record-comparison-occasion")]
    public static Task<IResult> RecordComparisonOccasion(string id, RecordComparisonOccasion command, ActDoor door, HttpContext http) => door.Act("comparison", id, command, http);

    /// <summary>Make a version of the comparison file's counts, for opinions to cite.</summary>
    [WolverinePost("/api/comparison-files/{id}/version-comparison-counts")]
    public static Task<IResult> VersionComparisonCounts(string id, VersionComparisonCounts command, ActDoor door, HttpContext http) => door.Act("comparison", id, command, http);

    /// <summary>Take an occasion out of the counts to come; versions already made keep it.</summary>
    [WolverinePost("/api/comparison-files/{id}/withdraw-comparison-occasion")]
    public static Task<IResult> WithdrawComparisonOccasion(string id, WithdrawComparisonOccasion command, ActDoor door, HttpContext http) => door.Act("comparison", id, command, http);
}
