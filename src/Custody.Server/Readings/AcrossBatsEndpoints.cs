using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Readings;

/// <summary>What is asked across bats, as everything recorded up to now says.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Auditor)]
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
    public static async Task<IResult> OpenWork(ReadingDesk desk, HttpContext http)
    {
        List<WorkOnBat> work = [];
        foreach (var bat in await desk.BatsWithWork(http.RequestAborted))
        {
            var waiting = new WorkOnBat(NamedBat.Of(bat), bat.Work(desk.Now, await desk.WithdrawalsUnder(bat, http.RequestAborted)));
            // Found because of a file: it waits only if something on it does.
            if (bat.State.Waits || waiting.Work.FilesFell.Count > 0) work.Add(waiting);
        }
        return Answer(work, http);
    }

    /// <summary>Everything, on any bat, that rests on one source of a habit file, should it fall: opinions, lot texts, labels. <c>n</c> is the source's entry.</summary>
    [WolverineGet("/api/habit-files/{id}/ripple/{n}")]
    [ProducesResponseType<RippleOnBat[]>(StatusCodes.Status200OK)]
    public static Task<IResult> HabitRipple(string id, long n, ReadingDesk desk, HttpContext http) => Ripple("habits/" + id, n, desk, http);

    /// <summary>The same for one source of a comparison file.</summary>
    [WolverineGet("/api/comparison-files/{id}/ripple/{n}")]
    [ProducesResponseType<RippleOnBat[]>(StatusCodes.Status200OK)]
    public static Task<IResult> ComparisonRipple(string id, long n, ReadingDesk desk, HttpContext http) => Ripple("comparison/" + id, n, desk, http);

    static async Task<IResult> Ripple(string name, long n, ReadingDesk desk, HttpContext http) => StreamName.TryParse(name, out var file)
        ? Answer((await desk.BatsWeighedAgainst(file, http.RequestAborted)).Select(r => new RippleOnBat(NamedBat.Of(r), r.RestingOn(file, n))).Where(r => r.Rests.Count > 0).ToList(), http)
        : Problems.NotFound(name);

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
