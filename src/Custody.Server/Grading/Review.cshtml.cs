using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Readings;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Grading;

/// <summary>All prior opinions side by side, for whoever is to grade again. Closed to an examination that has not opened others' opinions yet.</summary>
[MayUse(AccountRole.Examiner, AccountRole.Auditor)]
public sealed class ReviewModel(BenchDesk bench, RecomputeDesk again) : PageModel
{
    [FromRoute]
    public string Number { get; set; } = "";

    public long? Blind { get; private set; }

    public RegradingReview Review { get; private set; } = null!;

    public async Task<IActionResult> OnGetAsync()
    {
        var ct = HttpContext.RequestAborted;
        if (await bench.Bat(Number, ct) is not { } reading) return NotFound();
        Number = reading.State.Registration!.ShortNumber;
        Blind = await bench.BlindTo(reading, Stage.OthersOpinions, Viewer.Of(User)!.Party, ct);
        if (Blind is null) Review = reading.Review(await again.Cited(reading, ct));
        return Page();
    }

    /// <summary>The opinion computed again; null when it was not given here.</summary>
    public OpinionRecomputed? Again(long n) => Review.Recomputed.FirstOrDefault(r => r.Opinion == n);

    public bool MayAct => Viewer.Of(User)!.Is(AccountRole.Examiner);
}
