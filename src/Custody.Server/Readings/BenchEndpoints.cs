using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Readings;

/// <summary>What the examiner's bench computes from the record of one bat, each with what a page needs to draw it. <c>id</c> and <c>recorded</c> as for
/// the other readings.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Auditor, AccountRole.Owner)]
public static class BenchEndpoints
{
    /// <summary>Seasons in which the bat can have been used, alone and if the player did, with the facts that bind each end.</summary>
    [WolverineGet("/api/bats/{id}/seasons")]
    [ProducesResponseType<BatSeasons>(StatusCodes.Status200OK)]
    public static Task<IResult> Seasons(string id, string? recorded, ReadingDesk desk, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, r => r.Seasons(), http);

    /// <summary>What lies over what, the orders it permits, and which places of a dated list fit.</summary>
    [WolverineGet("/api/bats/{id}/layers")]
    [ProducesResponseType<BatLayers>(StatusCodes.Status200OK)]
    public static Task<IResult> Layers(string id, string? recorded, ReadingDesk desk, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, r => r.Layers(), http);

    /// <summary>Comparisons of archive pictures with the bat, as recorded and as computed again from the locked marks.</summary>
    [WolverineGet("/api/bats/{id}/comparisons")]
    [ProducesResponseType<BatComparisons>(StatusCodes.Status200OK)]
    public static Task<IResult> Comparisons(string id, string? recorded, ReadingDesk desk, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, r => r.Comparisons(), http);

    /// <summary>Condition over time: the differences of its examinations, the two ends of each hand-over, and new damage that nobody has explained.</summary>
    [WolverineGet("/api/bats/{id}/condition")]
    [ProducesResponseType<BatCondition>(StatusCodes.Status200OK)]
    public static Task<IResult> Condition(string id, string? recorded, ReadingDesk desk, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, r => r.Condition(), http);

    /// <summary>The difference of two examinations, by the entries that opened them.</summary>
    [WolverineGet("/api/bats/{id}/condition/{earlier}/{later}")]
    [ProducesResponseType<ConditionStep>(StatusCodes.Status200OK)]
    public static Task<IResult> ConditionBetween(string id, long earlier, long later, string? recorded, ReadingDesk desk, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, r => r.ConditionBetween(earlier, later), http);

    /// <summary>Measurements that must make sense: limits of the playing rules by year, weights, lengths. Flags and questions, never verdicts.</summary>
    [WolverineGet("/api/bats/{id}/body")]
    [ProducesResponseType<BatBody>(StatusCodes.Status200OK)]
    public static Task<IResult> Body(string id, string? recorded, ReadingDesk desk, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, r => r.Body(), http);
}
