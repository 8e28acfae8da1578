using Custody.Server.Accounts;
using Microsoft.AspNetCore.Html;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Sharing;

/// <summary>What a reader finds behind a shared address: first that opening is counted by date, then, once they ask, the dossier.</summary>
// A reader's form carries nobody's authority: there is nothing that a strange page could do with it, and no cookie is needed.
[Anybody, IgnoreAntiforgeryToken]
public sealed class SharedModel(SharingDesk desk) : PageModel
{
    public SharedLink? Link { get; private set; }

    /// <summary>The history, once it was opened.</summary>
    public IHtmlContent? Seen { get; private set; }

    public async Task<IActionResult> OnGet(string token)
    {
        Link = await desk.Find(token, HttpContext.RequestAborted);
        return Answer();
    }

    public async Task<IActionResult> OnPostRead(string token)
    {
        if (await Dossier(token) is { } bytes) Seen = ReadersView.Of(ReadersView.In(bytes));
        return Answer();
    }

    public async Task<IActionResult> OnPostDownload(string token)
    {
        if (await Dossier(token) is not { } bytes) return Answer();
        Guard();
        return File(bytes, "application/zip", Link!.FileName);
    }

    async Task<byte[]?> Dossier(string token)
    {
        if (await desk.Find(token, HttpContext.RequestAborted) is not { } link) return null;
        var bytes = await desk.Open(link, HttpContext.RequestAborted);
        Link = bytes is null ? null : link;
        return bytes;
    }

    PageResult Answer()
    {
        Guard();
        if (Link is null) Response.StatusCode = StatusCodes.Status404NotFound;
        return Page();
    }

    // The address is a secret: it goes into no other site's log and no shared cache.
    void Guard()
    {
        Response.Headers.CacheControl = "no-store";
        Response.Headers["Referrer-Policy"] = "no-referrer";
    }
}
