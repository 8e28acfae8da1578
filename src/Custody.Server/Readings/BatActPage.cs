using Custody.Bats;
using Custody.Server.Examining;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Readings;

/// <summary>A page whose form records an act on the bat that its address names.</summary>
public abstract class BatActPage(Recorder recorder, BenchDesk bench) : ActPage(recorder)
{
    [FromRoute]
    public string Number { get; set; } = "";

    protected BenchDesk Bench => bench;

    /// <summary>The bat as it stands, corrected.</summary>
    public Reading Reading { get; private set; } = null!;

    public StreamName Stream => StreamName.Parse(Reading.State.Id);

    /// <summary>The party acted for; null when the account acts for nobody.</summary>
    public PartyId? Own => Viewer.Party;

    public virtual async Task<IActionResult> OnGetAsync()
    {
        if (!await Load()) return NotFound();
        Seen = Reading.State.N;
        return Page();
    }

    /// <summary>Loads the bat; false when there is none of this number.</summary>
    protected virtual async Task<bool> Load()
    {
        if (await bench.Bat(Number, HttpContext.RequestAborted) is not { } reading) return false;
        (Reading, Number) = (reading, reading.State.Registration!.ShortNumber);
        return true;
    }

    /// <summary>The page again as it was typed, over the bat as it stands now.</summary>
    protected async Task<IActionResult> Again()
    {
        await Load();
        return Page();
    }
}
