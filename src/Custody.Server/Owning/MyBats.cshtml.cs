using Custody.Server.Accounts;
using Custody.Server.Readings;
using Custody.Server.Sharing;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Owning;

/// <summary>The owner's room: their bats, and the links they share.</summary>
[MayUse(AccountRole.Owner)]
public sealed class MyBatsModel(OwnersDesk owners, SharingDesk sharing, ReadingDesk desk) : PageModel
{
    public IReadOnlyList<OwnBat> Bats { get; private set; } = [];

    public IReadOnlyList<SharingDesk.Listed> Links { get; private set; } = [];

    public bool ActsForNobody { get; private set; }

    public DateTimeOffset Now => desk.Now;

    public async Task OnGet()
    {
        var viewer = Viewer.Of(User)!;
        ActsForNobody = viewer.Party is null;
        Bats = await owners.Of(viewer, HttpContext.RequestAborted);
        Links = viewer.Party is { } party ? await sharing.Of(party, HttpContext.RequestAborted) : [];
    }

    /// <summary>Ends a link: it leads nowhere from now on.</summary>
    public async Task<IActionResult> OnPostEnd(string id)
    {
        if (Viewer.Of(User)!.Party is not { } party || !await sharing.End(party, id, HttpContext.RequestAborted)) return NotFound();
        TempData[ActPage.DoneKey] = "The link was ended. It leads nowhere from now on; a dossier that was downloaded before stays where it is.";
        return LocalRedirect("/mine");
    }
}
