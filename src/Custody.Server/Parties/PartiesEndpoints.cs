using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Parties;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Keeper)]
public static class PartiesEndpoints
{
    /// <summary>Answer an erasure request of someone who still holds title, consigns or keeps a bat.</summary>
    [WolverinePost("/api/parties/{id}/restrict-party"), MayUse(AccountRole.Keeper)]
    public static Task<IResult> RestrictParty(string id, RestrictParty command, ActDoor door, HttpContext http) => door.Act("party", id, command, http);

    /// <summary>Carry out an erasure request.</summary>
    [WolverinePost("/api/parties/{id}/erase-party"), MayUse(AccountRole.Keeper)]
    public static Task<IResult> EraseParty(string id, EraseParty command, ActDoor door, HttpContext http) => door.Act("party", id, command, http);

    /// <summary>Take a person or firm into the ledger. Everything about them is withheld; only the kind of party is open.</summary>
    [WolverinePost("/api/parties")]
    public static Task<IResult> RecordParty(RecordParty command, ActDoor door, HttpContext http) => door.Begin("party", command, http);

    /// <summary>Record a party's name, address and contact as they are from now on. Earlier entries keep the name they were made under.</summary>
    [WolverinePost("/api/parties/{id}/rename-party")]
    public static Task<IResult> RenameParty(string id, RenameParty command, ActDoor door, HttpContext http) => door.Act("party", id, command, http);

    /// <summary>Ask that a party's private data be erased.</summary>
    [WolverinePost("/api/parties/{id}/request-erasure")]
    public static Task<IResult> RequestErasure(string id, RequestErasure command, ActDoor door, HttpContext http) => door.Act("party", id, command, http);
}
