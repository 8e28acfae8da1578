using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Comparing;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Examiner)]
public static class ComparingEndpoints
{
    /// <summary>Pair the locked points and state the result.</summary>
    [WolverinePost("/api/bats/{id}/compare-pictures")]
    public static Task<IResult> ComparePictures(string id, ComparePictures command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Lock the marks made on one picture, the archive picture first.</summary>
    [WolverinePost("/api/bats/{id}/lock-features")]
    public static Task<IResult> LockFeatures(string id, LockFeatures command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Fix what a comparison allows, before anything is marked.</summary>
    [WolverinePost("/api/bats/{id}/open-picture-comparison")]
    public static Task<IResult> OpenPictureComparison(string id, OpenPictureComparison command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
