using Custody.Bats;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Readings;

/// <summary>What is asked across bats, as everything recorded up to now says.</summary>
public static class AcrossBatsEndpoints
{
    /// <summary>Results and notices of a sale, lot by lot.</summary>
    [WolverineGet("/api/sales/{id}/results")]
    [ProducesResponseType<SaleResults>(StatusCodes.Status200OK)]
    public static async Task<IResult> SaleResults(string id, ReadingDesk desk, HttpContext http) =>
        StreamName.TryParse("sale/" + id, out var sale) && await desk.BatsIn(sale, http.RequestAborted) is { } bats
            ? Answer(Readings.SaleResults.Of(sale, bats), http)
            : Problems.NotFound("sale/" + id);

    /// <summary>What a party holds title to or keeps now.</summary>
    [WolverineGet("/api/parties/{id}/holdings")]
    [ProducesResponseType<Holdings>(StatusCodes.Status200OK)]
    public static Task<IResult> Holdings(string id, ReadingDesk desk, HttpContext http) => OfParty(id, Readings.Holdings.Of, desk, http);

    /// <summary>Every opinion an examiner or examining house gave, and what became of it.</summary>
    [WolverineGet("/api/examiners/{id}/record")]
    [ProducesResponseType<ExaminersRecord>(StatusCodes.Status200OK)]
    public static Task<IResult> ExaminersRecord(string id, ReadingDesk desk, HttpContext http) => OfParty(id, Readings.ExaminersRecord.Of, desk, http);

    /// <summary>What waits to be done now on any bat.</summary>
    [WolverineGet("/api/open-work")]
    [ProducesResponseType<WorkOnBat[]>(StatusCodes.Status200OK)]
    public static async Task<IResult> OpenWork(ReadingDesk desk, HttpContext http) =>
        Answer((await desk.BatsWithWork(http.RequestAborted)).Select(r => new WorkOnBat(NamedBat.Of(r), r.Work(desk.Now))).ToList(), http);

    static async Task<IResult> OfParty<T>(string id, Func<IEnumerable<(Reading, Alias)>, T> read, ReadingDesk desk, HttpContext http) =>
        StreamName.TryParse("party/" + id, out var party) && await desk.BatsOf(new PartyId(party), http.RequestAborted) is { } bats
            ? Answer(read(bats), http)
            : Problems.NotFound("party/" + id);

    static IResult Answer<T>(T answer, HttpContext http)
    {
        // Names are in it: nothing on the way keeps a copy.
        http.Response.Headers.CacheControl = "no-store";
        return Results.Json(answer, JsonText.Options);
    }
}
