using System.Globalization;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Readings;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Sheets;

/// <summary>The page of one bat: what it is, where it is, whose it is said to be, and everything that was ever recorded of it. An owner comes here for their
/// own bats only (<see cref="OwnBatsOnly"/>).</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Owner, AccountRole.Auditor)]
public sealed class BatPageModel(ReadingDesk desk, ProofBook proofs, BenchDesk bench, EndpointDataSource routes) : PageModel
{
    /// <summary>Up to so many entries everything is on the page at once, folded away.</summary>
    const int Few = 40;

    public SheetView View { get; private set; } = null!;

    /// <summary>As it was asked for in the address.</summary>
    public string Number { get; private set; } = "";

    /// <summary>The day as of which the ledger is asked; null for now.</summary>
    public string? AsOf { get; private set; }

    /// <summary>Why the day asked about is not answered.</summary>
    public string? NotAnswered { get; private set; }

    /// <summary>The examination that whoever is signed in has open, to which this sheet is still closed: the price stands on it, and others' opinions.</summary>
    public long? Blind { get; private set; }

    public DateTimeOffset Now => desk.Now;

    /// <param name="number">Short number or stream identifier.</param>
    /// <param name="read">recorded, corrected or occurred.</param>
    /// <param name="asof">A day (2024-03-01): what the ledger knew then.</param>
    /// <param name="entry">Number of the entry of which everything is to be said.</param>
    /// <param name="examined">Entry that opened the examination whose findings are drawn.</param>
    /// <param name="full">Everything of every entry, as a history statement has it.</param>
    public async Task<IActionResult> OnGet(string number, string? read, string? asof, long? entry, long? examined, bool full)
    {
        Number = number;
        if (await desk.HistoryOf(number, HttpContext.RequestAborted) is not { } history) return NotFound();
        var now = history.AsCorrected();
        Blind = await bench.BlindTo(now, Stage.Price, Viewer.Of(User)?.Party, HttpContext.RequestAborted);
        if (Blind is not null) return Page();
        AsOf = string.IsNullOrWhiteSpace(asof) ? null : asof.Trim();
        var moment = Moment.Of(AsOf);
        var reading = moment?.Recorded is { } time ? history.AsRecorded(time) : now;
        if (moment is null) NotAnswered = $"{ReadingEndpoints.TimeUnreadable.Sentence} {ReadingEndpoints.TimeUnreadable.Remedy}";
        else if (!reading.State.Exists) NotAnswered = "On that day this ledger knew nothing of this bat. Below is what it knows now.";
        if (NotAnswered is not null) (AsOf, reading, moment) = (null, now, new Moment((DateTimeOffset?)null));
        var order = read switch { "recorded" => TimelineOrder.Recorded, "corrected" => TimelineOrder.Corrected, _ => TimelineOrder.Occurred };
        var at = moment!.Recorded ?? desk.Now;
        // Two questions to the database that do not need each other's answer.
        var proof = proofs.Of(StreamName.Parse(reading.State.Id), HttpContext.RequestAborted);
        var withdrawals = desk.WithdrawalsUnder(reading, HttpContext.RequestAborted);
        View = SheetView.Of(
            history, reading, order, new DetailShown(full, entry, Folded: reading.Entries.Count <= Few && !full), examined,
            await proof, reading.Work(at, await withdrawals), DateOnly.FromDateTime(at.UtcDateTime));
        return Page();
    }

    /// <summary>What whoever is signed in can do with the bat now: acts whose page this server has.</summary>
    public IEnumerable<BatAct> Acts()
    {
        if (AsOf is not null || Viewer.Of(User) is not { } viewer) return [];
        var pages = Pages();
        return BatActs.Of(View.Sheet).Where(a => viewer.IsAny(a.For) && pages.Contains("bats/{number}/" + a.Address));
    }

    HashSet<string> Pages() => routes.Endpoints.OfType<RouteEndpoint>().Select(e => e.RoutePattern.RawText?.TrimStart('/') ?? "").ToHashSet(StringComparer.Ordinal);

    /// <summary>This page with everything that one entry says; short, because it stands on every line.</summary>
    public string Entry(long n) => string.Create(CultureInfo.InvariantCulture,
        $"?entry={n}{(View.Order == TimelineOrder.Occurred ? "" : View.Order == TimelineOrder.Recorded ? "&read=recorded" : "&read=corrected")}{(AsOf is null ? "" : "&asof=" + AsOf)}#e-{n}");

    /// <summary>This page asked for differently; what is not named stays.</summary>
    public string Here(string? read = null, long? examined = null, bool full = false, string fragment = "")
    {
        Dictionary<string, string?> query = new(StringComparer.Ordinal)
        {
            ["read"] = read ?? View.Order switch { TimelineOrder.Recorded => "recorded", TimelineOrder.Corrected => "corrected", _ => null },
            ["asof"] = AsOf,
            ["examined"] = examined?.ToString(CultureInfo.InvariantCulture),
            ["full"] = full ? "true" : null,
        };
        return $"/bats/{Uri.EscapeDataString(View.Sheet.ShortNumber)}{QueryString.Create(query.Where(q => q.Value is not null))}{fragment}";
    }
}
