using System.Globalization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Readings;

/// <summary>Everything that is asked of one bat. <c>id</c> is a short number or a stream's identifier; <c>recorded</c> asks for what the ledger knew
/// then; without it everything recorded is read, as corrected.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Auditor, AccountRole.Owner)]
public static class ReadingEndpoints
{
    /// <summary>The bat's present state.</summary>
    [WolverineGet("/api/bats/{id}")]
    [ProducesResponseType<BatSheet>(StatusCodes.Status200OK)]
    public static Task<IResult> Sheet(string id, string? recorded, ReadingDesk desk, HttpContext http) => Answer(desk, id, recorded, r => r.Sheet(), http);

    /// <summary>Chain of title with its gaps and overlaps, acts and reports told apart.</summary>
    [WolverineGet("/api/bats/{id}/title")]
    [ProducesResponseType<HoldingChain>(StatusCodes.Status200OK)]
    public static Task<IResult> Title(string id, string? recorded, ReadingDesk desk, HttpContext http) => Answer(desk, id, recorded, r => r.TitleChain(), http);

    /// <summary>Chain of custody with its gaps and overlaps, acts and reports told apart.</summary>
    [WolverineGet("/api/bats/{id}/custody")]
    [ProducesResponseType<HoldingChain>(StatusCodes.Status200OK)]
    public static Task<IResult> Custody(string id, string? recorded, ReadingDesk desk, HttpContext http) => Answer(desk, id, recorded, r => r.CustodyChain(), http);

    /// <summary>Every opinion side by side: what it rested on, and what has happened since.</summary>
    [WolverineGet("/api/bats/{id}/opinions")]
    [ProducesResponseType<OpinionHistory>(StatusCodes.Status200OK)]
    public static Task<IResult> Opinions(string id, string? recorded, ReadingDesk desk, HttpContext http) => Answer(desk, id, recorded, r => r.Opinions(), http);

    /// <summary>Every lot and sale the bat stood in, with what bidders had been told at the hammer.</summary>
    [WolverineGet("/api/bats/{id}/lots")]
    [ProducesResponseType<LotHistory>(StatusCodes.Status200OK)]
    public static Task<IResult> Lots(string id, string? recorded, ReadingDesk desk, HttpContext http) => Answer(desk, id, recorded, r => r.Lots(), http);

    /// <summary>What waits to be done on the bat now, or at the time asked about.</summary>
    [WolverineGet("/api/bats/{id}/open-work")]
    [ProducesResponseType<Custody.Bats.OpenWork>(StatusCodes.Status200OK)]
    public static Task<IResult> OpenWork(string id, string? recorded, ReadingDesk desk, HttpContext http) =>
        Answer(desk, id, recorded, async r => r.Work(Moment.Of(recorded)?.Recorded ?? desk.Now, await desk.WithdrawalsUnder(r, http.RequestAborted)), http);

    /// <summary>Everything that rests on entry <c>n</c>, should it fall.</summary>
    [WolverineGet("/api/bats/{id}/ripple/{n}")]
    [ProducesResponseType<RippleList>(StatusCodes.Status200OK)]
    public static Task<IResult> Ripple(string id, long n, string? recorded, ReadingDesk desk, HttpContext http) =>
        Answer(desk, id, recorded, r => n >= 1 && n <= r.Entries.Count ? r.Ripple(n) : null, http);

    /// <summary>Who held title and who kept the bat on a day or through a time (EDTF).</summary>
    [WolverineGet("/api/bats/{id}/on/{day}")]
    [ProducesResponseType<StoodOn>(StatusCodes.Status200OK)]
    public static Task<IResult> On(string id, string day, string? recorded, ReadingDesk desk, HttpContext http) =>
        Edtf.TryParse(day, out var date, out var refusal)
            ? Answer(desk, id, recorded, r => r.On(date), http)
            : Task.FromResult(Problems.Unreadable(new(refusal.Code, refusal.Sentence, refusal.Remedy)));

    /// <summary>Every entry in the order of recording, exactly as it stands in the log, with what the house is shown of it.</summary>
    [WolverineGet("/api/bats/{id}/entries")]
    [ProducesResponseType<EntryRead[]>(StatusCodes.Status200OK)]
    public static Task<IResult> Entries(string id, string? recorded, ReadingDesk desk, EntryBook book, HttpContext http) =>
        Answer(desk, id, recorded, async r => await book.Of(r, http.RequestAborted), http);

    internal static readonly Refusal TimeUnreadable =
        new("time-unreadable", "The time asked about cannot be read.", "Give a day (2024-03-01) or a time with its zone (2024-03-01T09:00:00Z).");

    internal static Task<IResult> Answer(ReadingDesk desk, string id, string? recorded, Func<Reading, object?> read, HttpContext http) =>
        Answer(desk, id, recorded, r => Task.FromResult(read(r)), http);

    internal static async Task<IResult> Answer(ReadingDesk desk, string id, string? recorded, Func<Reading, Task<object?>> read, HttpContext http)
    {
        if (Moment.Of(recorded) is not { } moment)
            return Problems.Unreadable(TimeUnreadable);
        if (await desk.HistoryOf(id, http.RequestAborted) is not { } history) return Problems.NoBat(id);
        var reading = moment.Recorded is { } time ? history.AsRecorded(time) : history.AsCorrected();
        if (!reading.State.Exists) return Problems.NotKnownThen(id);
        if (await read(reading) is not { } answer) return Problems.NoEntry(id);
        // Names are in it: nothing on the way keeps a copy. The tag is what If-Match of an act wants.
        http.Response.Headers.CacheControl = "no-store";
        http.Response.Headers.ETag = string.Create(CultureInfo.InvariantCulture, $"\"{reading.State.N}\"");
        return Results.Json(answer, JsonText.Options);
    }
}
