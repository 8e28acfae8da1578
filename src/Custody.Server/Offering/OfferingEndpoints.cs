using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Offering;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Cataloguer)]
public static class OfferingEndpoints
{
    /// <summary>Change a lot's text, estimate or declared interests, and say when and how bidders were told: the saleroom notice.</summary>
    [WolverinePost("/api/bats/{id}/amend-lot")]
    public static Task<IResult> AmendLot(string id, AmendLot command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Offer a bat in a sale, alone or with others in one lot. For several bats: one command on each, same terms and number.</summary>
    [WolverinePost("/api/bats/{id}/offer-lot")]
    public static Task<IResult> OfferLot(string id, OfferLot command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record that a lot came up and did not sell.</summary>
    [WolverinePost("/api/bats/{id}/pass-lot")]
    public static Task<IResult> PassLot(string id, PassLot command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Offer a bat again that was passed, withdrawn, not paid for or came back.</summary>
    [WolverinePost("/api/bats/{id}/reoffer-lot")]
    public static Task<IResult> ReofferLot(string id, ReofferLot command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Take a lot out of a sale before it is sold.</summary>
    [WolverinePost("/api/bats/{id}/withdraw-lot")]
    public static Task<IResult> WithdrawLot(string id, WithdrawLot command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
