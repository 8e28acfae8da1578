using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Readings;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Grading;

/// <summary>The weight of a bat's findings, computed from the ledger.</summary>
[MayUse(AccountRole.Examiner)]
public static class WeighingEndpoint
{
    /// <summary>Weighs the locked findings of a bat against a player's habits and a comparison file: numbers, intervals, words, what they rest on and what
    /// would change them. <c>habits</c> and <c>comparison</c> name streams (left out: the file that the bat's entries cite, and the one it is set beside), their versions are the newest unless said; <c>read</c> says which value a
    /// finding shows (characteristic:value, ...). Nothing is recorded.</summary>
    [WolverineGet("/api/bats/{id}/weight")]
    [ProducesResponseType<BatWeighed>(StatusCodes.Status200OK), Refuses(400, 404, 422)]
    public static async Task<IResult> Weight(
        string id, string? habits, string? comparison, long? habitsVersion, long? comparisonVersion, long? examination, string? read, string? posed, string? spent,
        string? loss, string? likeness, string? basis, string? scale, string? recorded, ReadingDesk bats, WeighingDesk desk, HttpContext http)
    {
        if (Moment.Of(recorded) is not { } moment)
            return Problems.Unreadable(ReadingEndpoints.TimeUnreadable);
        if (await bats.HistoryOf(id, http.RequestAborted) is not { } history) return Problems.NoBat(id);
        var reading = moment.Recorded is { } then ? history.AsRecorded(then) : history.AsCorrected();
        if (!reading.State.Exists) return Problems.NotKnownThen(id);
        var (weighed, refused) = await desk.Weigh(
            reading, new(habits, comparison, habitsVersion, comparisonVersion, examination, read, posed, spent, loss, likeness, basis, scale), http.RequestAborted);
        // Whose findings these are is in it: nothing on the way keeps a copy.
        http.Response.Headers.CacheControl = "no-store";
        return weighed is null ? Problems.Refused([refused!]) : Results.Json(weighed, JsonText.Options);
    }

    /// <summary>Compares the placed findings of a bat with the usual zones of a player's habit file: what they share along, round and of the finding. Beside the
    /// weight, never in it. <c>habits</c> and <c>habitsVersion</c> as for the weight; <c>examination</c> for one alone. Nothing is recorded.</summary>
    [WolverineGet("/api/bats/{id}/zones")]
    [ProducesResponseType<BatZones>(StatusCodes.Status200OK), Refuses(400, 404, 422)]
    public static async Task<IResult> Zones(
        string id, string? habits, long? habitsVersion, long? examination, string? recorded, ReadingDesk bats, WeighingDesk desk, HttpContext http)
    {
        if (Moment.Of(recorded) is not { } moment)
            return Problems.Unreadable(ReadingEndpoints.TimeUnreadable);
        if (await bats.HistoryOf(id, http.RequestAborted) is not { } history) return Problems.NoBat(id);
        var reading = moment.Recorded is { } then ? history.AsRecorded(then) : history.AsCorrected();
        if (!reading.State.Exists) return Problems.NotKnownThen(id);
        var (zones, refused) = await desk.Zones(reading, habits, habitsVersion, examination, http.RequestAborted);
        http.Response.Headers.CacheControl = "no-store";
        return zones is null ? Problems.Refused([refused!]) : Results.Json(zones, JsonText.Options);
    }
}
