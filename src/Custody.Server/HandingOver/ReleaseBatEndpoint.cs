using Custody.Bats;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.HandingOver;

public static class ReleaseBatEndpoint
{
    /// <summary>The custodian lets the bat go to a named recipient.</summary>
    [WolverinePost("/api/bats/{bat}/releases")]
    public static Task<IResult> Post(string bat, ReleaseBat command, ActDoor door, HttpContext http) => door.Act("bat", bat, command, http);
}
