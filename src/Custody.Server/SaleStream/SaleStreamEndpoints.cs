using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.SaleStream;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Cataloguer)]
public static class SaleStreamEndpoints
{
    /// <summary>Announce a sale with the terms it will be held under.</summary>
    [WolverinePost("/api/sales")]
    public static Task<IResult> AnnounceSale(AnnounceSale command, ActDoor door, HttpContext http) => door.Begin("sale", command, http);

    /// <summary>Call a sale off, before it begins or while it runs. What was sold by then stays sold; each lot's end stands on its bat.</summary>
    [WolverinePost("/api/sales/{id}/call-off-sale")]
    public static Task<IResult> CallOffSale(string id, CallOffSale command, ActDoor door, HttpContext http) => door.Act("sale", id, command, http);

    /// <summary>Change a sale's terms, its day or its form, before its first lot comes up. All terms are given anew.</summary>
    [WolverinePost("/api/sales/{id}/change-terms")]
    public static Task<IResult> ChangeTerms(string id, ChangeTerms command, ActDoor door, HttpContext http) => door.Act("sale", id, command, http);

    /// <summary>The sale begins: its first lot comes up.</summary>
    [WolverinePost("/api/sales/{id}/open-sale")]
    public static Task<IResult> OpenSale(string id, OpenSale command, ActDoor door, HttpContext http) => door.Act("sale", id, command, http);

    /// <summary>The last lot has come up.</summary>
    [WolverinePost("/api/sales/{id}/close-sale")]
    public static Task<IResult> CloseSale(string id, CloseSale command, ActDoor door, HttpContext http) => door.Act("sale", id, command, http);
}
