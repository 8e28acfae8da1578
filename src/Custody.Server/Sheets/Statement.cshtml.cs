using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Log;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Sheets;

/// <summary>The history statement of one bat, to be printed: cautions, what it is, chains, opinions, everything recorded. For whoever may see its sheet.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Owner, AccountRole.Auditor)]
public sealed class StatementModel(ReadingDesk desk, BenchDesk bench, ProofBook proofs, LogDesk log, LedgerName ledger) : PageModel
{
    public SheetView View { get; private set; } = null!;

    public string Origin => ledger.Origin;

    public DateTimeOffset Now => desk.Now;

    public SignedCheckpoint? Newest { get; private set; }

    /// <param name="number">Short number or stream identifier.</param>
    public async Task<IActionResult> OnGet(string number)
    {
        var ct = HttpContext.RequestAborted;
        if (await desk.HistoryOf(number, ct) is not { } history) return NotFound();
        var reading = history.AsCorrected();
        // Price and others' opinions stand on it: closed to whoever has the bat under blind examination, as its sheet is.
        if (await bench.BlindTo(reading, Stage.Price, Viewer.Of(User)?.Party, ct) is not null) return LocalRedirect($"/bats/{Uri.EscapeDataString(number)}");
        Newest = await log.Newest(ct);
        View = SheetView.Of(
            history, reading, TimelineOrder.Occurred, new DetailShown(All: true, null, Folded: false), null, await proofs.Of(StreamName.Parse(reading.State.Id), ct),
            reading.Work(desk.Now), DateOnly.FromDateTime(desk.Now.UtcDateTime));
        return Page();
    }
}
