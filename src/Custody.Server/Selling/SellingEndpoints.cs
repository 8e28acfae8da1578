using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Selling;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Cataloguer)]
public static class SellingEndpoints
{
    /// <summary>Call a sale off before title has passed.</summary>
    [WolverinePost("/api/bats/{id}/cancel-sale")]
    public static Task<IResult> CancelSale(string id, CancelSale command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Let title pass to the buyer, once the sale's own terms are met.</summary>
    [WolverinePost("/api/bats/{id}/pass-title")]
    public static Task<IResult> PassTitle(string id, PassTitle command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record that the buyer did not pay.</summary>
    [WolverinePost("/api/bats/{id}/record-default")]
    public static Task<IResult> RecordDefault(string id, RecordDefault command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record money that moved under a sale.</summary>
    [WolverinePost("/api/bats/{id}/record-payment")]
    public static Task<IResult> RecordPayment(string id, RecordPayment command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Undo a sale after title passed, while that buyer still holds it.</summary>
    [WolverinePost("/api/bats/{id}/rescind-sale")]
    public static Task<IResult> RescindSale(string id, RescindSale command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);

    /// <summary>Record that a bat was sold. Title does not move by this: <c>TitlePassed</c> does that, when the terms say so.</summary>
    [WolverinePost("/api/bats/{id}/sell-bat")]
    public static Task<IResult> SellBat(string id, SellBat command, ActDoor door, HttpContext http) => door.Act("bat", id, command, http);
}
