using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Dating;

/// <summary>The seasons that dated facts leave, drawn with what binds each end, and the orders that layers permit.</summary>
[MayUse(AccountRole.Examiner, AccountRole.Cataloguer, AccountRole.Auditor)]
public sealed class SeasonsModel(BenchDesk bench) : PageModel
{
    [FromRoute]
    public string Number { get; set; } = "";

    public long? Blind { get; private set; }

    public BatSeasons Seasons { get; private set; } = null!;

    public BatLayers Layers { get; private set; } = null!;

    public async Task<IActionResult> OnGetAsync()
    {
        var ct = HttpContext.RequestAborted;
        if (await bench.Bat(Number, ct) is not { } reading) return NotFound();
        Number = reading.State.Registration!.ShortNumber;
        // Dates come from records and sources, layers from everybody's findings: all of it may sway.
        Blind = await bench.BlindTo(reading, Stage.OthersOpinions, Viewer.Of(User)!.Party, ct);
        if (Blind is null) (Seasons, Layers) = (reading.Seasons(), reading.Layers());
        return Page();
    }

    /// <summary>Sets of facts that bind an end, in words; none where nothing binds it.</summary>
    public static string Bound(ConflictList by) =>
        by.Sets.Count == 0 ? "nothing" : string.Join("; or ", by.Sets.Select(s => string.Join(" with ", s))) + (by.IsComplete ? "" : "; or others not listed");
}
