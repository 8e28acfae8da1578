using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Consigning;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer)]
public static class ConsigningEndpoints
{
    /// <summary>Put a bat with a house to be sold. Title stays with the consignor; the terms are nobody else's business.</summary>
    [WolverinePost("/api/bats/{id}/consign-bat")]
    public static Task<IResult> ConsignBat(string id, ConsignBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>End a consignment; the bat goes back by its own hand-over.</summary>
    [WolverinePost("/api/bats/{id}/end-consignment")]
    public static Task<IResult> EndConsignment(string id, EndConsignment command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
