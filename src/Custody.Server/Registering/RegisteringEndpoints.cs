using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Registering;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar)]
public static class RegisteringEndpoints
{
    /// <summary>Take a bat into the ledger: how it came, who presented it, who keeps it, and whose it is said to be.</summary>
    [WolverinePost("/api/bats")]
    public static Task<IResult> RegisterBat(RegisterBat command, ActDoor door, HttpContext http) => door.Begin("bat", command, http);

    /// <summary>Void a registration that should not have been made. Two records of one bat are not voided but declared the same.</summary>
    [WolverinePost("/api/bats/{id}/void-registration")]
    public static Task<IResult> VoidRegistration(string id, VoidRegistration command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
