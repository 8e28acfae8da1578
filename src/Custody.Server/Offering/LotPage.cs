using Custody.Bats;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Offering;

/// <summary>A page about one lot of a sale.</summary>
public abstract class LotPage(Recorder recorder, SaleDesk desk) : SalePage(recorder, desk)
{
    /// <summary>The lot's number, as printed.</summary>
    [FromRoute(Name = "lot")]
    public string Number { get; set; } = "";

    public SaleLot Lot { get; private set; } = null!;

    public string Address => $"{Head.Address}/lots/{Lot.Number}";

    public virtual async Task<IActionResult> OnGetAsync()
    {
        if (!await Find()) return NotFound();
        Seen = Lot.Bats[0].Reading.State.N;
        return Page();
    }

    /// <summary>Loads sale and lot; false when either is not there.</summary>
    protected async Task<bool> Find()
    {
        if (!await Load() || LineOf(Number.ToUpperInvariant()) is not { } line) return false;
        Lot = await Desk.Lot(line, HttpContext.RequestAborted);
        return Lot.Bats.Count > 0;
    }

    /// <summary>Bats of the lot that are open to bids.</summary>
    protected IReadOnlyList<LotOnBat> Open => [.. Lot.Bats.Where(b => b.Lot.Standing == LotStanding.Offered)];

    /// <summary>Records one command on each of these bats, all of them or none. A form that was sent before gets its first answer.</summary>
    protected async Task<bool> Did(IEnumerable<LotOnBat> bats, Func<LotOnBat, IEnumerable<Command>> commands, string nothing)
    {
        if (await WasRecorded(Submission)) return true;
        List<Step> steps = [.. bats.SelectMany(b => commands(b).Select(c => new Step(b.Stream, c)))];
        if (steps.Count == 0) Refuse("", nothing, "Look at how the lot stands now.");
        return steps.Count > 0 && await Record(steps) is not null;
    }

    /// <summary>The page again as it was typed, over the lot as it stands now.</summary>
    protected async Task<IActionResult> Again()
    {
        await Find();
        Seen ??= Lot.Bats[0].Reading.State.N;
        return Page();
    }
}
