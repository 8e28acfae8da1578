using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Rubrics;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Examiner)]
public static class RubricsEndpoints
{
    /// <summary>Publish a rubric, or its next version.</summary>
    [WolverinePost("/api/rubrics/{id}/publish-rubric")]
    public static Task<IResult> PublishRubric(string id, PublishRubric command, ActDoor door, HttpContext http) => door.Act("rubric", id, command, http);

    /// <summary>Retire a version: new opinions should not cite it; old ones keep it.</summary>
    [WolverinePost("/api/rubrics/{id}/retire-rubric")]
    public static Task<IResult> RetireRubric(string id, RetireRubric command, ActDoor door, HttpContext http) => door.Act("rubric", id, command, http);
}
