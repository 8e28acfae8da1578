using Custody.Bats;
using Custody.Server.Accounts;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using Microsoft.AspNetCore.RateLimiting;

namespace Custody.Server.Transferring;

/// <summary>The other side of a transfer confirms it: by the link alone, or by an account of theirs as well.</summary>
[Anybody, EnableRateLimiting(AccountServices.TriesLimit)]
public sealed class ConfirmModel(TransferDesk desk) : PageModel
{
    public WaitingTransfer? Waiting { get; private set; }

    public Bat? Bat { get; private set; }

    public bool Done { get; private set; }

    /// <summary>The account that would confirm: one that acts for a party of its own.</summary>
    public Viewer? Confirming => Viewer.Of(User) is { Party: not null } viewer && viewer.Is(AccountRole.Owner) ? viewer : null;

    public async Task<IActionResult> OnGet(string token)
    {
        await Load(token);
        return Answer();
    }

    public async Task<IActionResult> OnPost(string token)
    {
        await Load(token);
        if (Waiting is null || Bat is null) return Answer();
        if (await desk.Confirm(Waiting, Bat, Confirming?.Party, HttpContext.RequestAborted) is { } refused) ModelState.AddModelError("", $"{refused.Sentence} {refused.Remedy}");
        else Done = true;
        return Answer();
    }

    async Task Load(string token)
    {
        if (await desk.Find(token, HttpContext.RequestAborted) is { } found) (Waiting, Bat) = found;
    }

    PageResult Answer()
    {
        // The address holds the secret: it goes into no other site's log.
        Response.Headers["Referrer-Policy"] = "no-referrer";
        if (Waiting is null) Response.StatusCode = StatusCodes.Status404NotFound;
        return Page();
    }
}
