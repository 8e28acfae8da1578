using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Readings;

/// <summary>Everything that is asked of one bat. <c>id</c> is a short number or a stream's identifier; <c>recorded</c> asks for what the ledger knew
/// then; without it everything recorded is read, as corrected.</summary>
public static class ReadingEndpoints
{
    /// <summary>The bat's present state.</summary>
    [WolverineGet("/api/bats/{id}")]
    public static Task<IResult> Sheet(string id, string? recorded, ReadingDesk desk, CancellationToken ct) => Answer(desk, id, recorded, r => r.Sheet(), ct);

    /// <summary>Chain of title with its gaps and overlaps, acts and reports told apart.</summary>
    [WolverineGet("/api/bats/{id}/title")]
    public static Task<IResult> Title(string id, string? recorded, ReadingDesk desk, CancellationToken ct) => Answer(desk, id, recorded, r => r.TitleChain(), ct);

    /// <summary>Chain of custody with its gaps and overlaps, acts and reports told apart.</summary>
    [WolverineGet("/api/bats/{id}/custody")]
    public static Task<IResult> Custody(string id, string? recorded, ReadingDesk desk, CancellationToken ct) => Answer(desk, id, recorded, r => r.CustodyChain(), ct);

    /// <summary>Every opinion side by side: what it rested on, and what has happened since.</summary>
    [WolverineGet("/api/bats/{id}/opinions")]
    public static Task<IResult> Opinions(string id, string? recorded, ReadingDesk desk, CancellationToken ct) => Answer(desk, id, recorded, r => r.Opinions(), ct);

    /// <summary>Every lot and sale the bat stood in, with what bidders had been told at the hammer.</summary>
    [WolverineGet("/api/bats/{id}/lots")]
    public static Task<IResult> Lots(string id, string? recorded, ReadingDesk desk, CancellationToken ct) => Answer(desk, id, recorded, r => r.Lots(), ct);

    /// <summary>What waits to be done on the bat now, or at the time asked about.</summary>
    [WolverineGet("/api/bats/{id}/open-work")]
    public static Task<IResult> OpenWork(string id, string? recorded, ReadingDesk desk, CancellationToken ct) =>
        Answer(desk, id, recorded, r => r.Work(Moment.Of(recorded)?.Recorded ?? desk.Now), ct);

    /// <summary>Everything that rests on entry <c>n</c>, should it fall.</summary>
    [WolverineGet("/api/bats/{id}/ripple/{n}")]
    public static Task<IResult> Ripple(string id, long n, string? recorded, ReadingDesk desk, CancellationToken ct) =>
        Answer(desk, id, recorded, r => n >= 1 && n <= r.Entries.Count ? r.Ripple(n) : null, ct);

    /// <summary>Who held title and who kept the bat on a day or through a time (EDTF).</summary>
    [WolverineGet("/api/bats/{id}/on/{day}")]
    public static Task<IResult> On(string id, string day, string? recorded, ReadingDesk desk, CancellationToken ct) =>
        Edtf.TryParse(day, out var date, out var refusal)
            ? Answer(desk, id, recorded, r => r.On(date), ct)
            : Task.FromResult(Problems.Unreadable(new(refusal.Code, refusal.Sentence, refusal.Remedy)));

    static async Task<IResult> Answer(ReadingDesk desk, string id, string? recorded, Func<Reading, object?> read, CancellationToken ct)
    {
        if (Moment.Of(recorded) is not { } moment)
            return Problems.Unreadable(new("time-unreadable", "The time asked about cannot be read.", "Give a day (2024-03-01) or a time with its zone (2024-03-01T09:00:00Z)."));
        return await desk.Read(id, moment, ct) is { } reading && read(reading) is { } answer ? Results.Json(answer, JsonText.Options) : Problems.NotFound(id);
    }
}
