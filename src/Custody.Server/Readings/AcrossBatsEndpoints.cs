using Custody.Bats;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Readings;

/// <summary>What is asked across bats.</summary>
public static class AcrossBatsEndpoints
{
    /// <summary>Results and notices of a sale, lot by lot.</summary>
    [WolverineGet("/api/sales/{id}/results")]
    public static async Task<IResult> SaleResults(string id, ReadingDesk desk, CancellationToken ct) =>
        StreamName.TryParse("sale/" + id, out var sale) ? Json(Readings.SaleResults.Of(sale, await desk.BatsIn(sale, ct))) : Problems.NotFound("sale/" + id);

    /// <summary>What a party holds title to or keeps now.</summary>
    [WolverineGet("/api/parties/{id}/holdings")]
    public static async Task<IResult> Holdings(string id, ReadingDesk desk, CancellationToken ct) =>
        StreamName.TryParse("party/" + id, out var party) ? Json(Readings.Holdings.Of(await desk.BatsOf(new PartyId(party), ct))) : Problems.NotFound("party/" + id);

    /// <summary>Every opinion an examiner or examining house gave, and what became of it.</summary>
    [WolverineGet("/api/examiners/{id}/record")]
    public static async Task<IResult> ExaminersRecord(string id, ReadingDesk desk, CancellationToken ct) =>
        StreamName.TryParse("party/" + id, out var party) ? Json(Readings.ExaminersRecord.Of(await desk.BatsOf(new PartyId(party), ct))) : Problems.NotFound("party/" + id);

    /// <summary>What waits to be done now on any bat.</summary>
    [WolverineGet("/api/open-work")]
    public static async Task<IResult> OpenWork(ReadingDesk desk, CancellationToken ct) =>
        Json((await desk.BatsWithWork(ct)).Select(r => new WorkOnBat(NamedBat.Of(r), r.Work(desk.Now))).ToList());

    static IResult Json<T>(T answer) => Results.Json(answer, JsonText.Options);
}
