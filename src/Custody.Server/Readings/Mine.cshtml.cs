using Custody.Server.Accounts;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Readings;

/// <summary>The bats of the owner who is signed in.</summary>
[MayUse(AccountRole.Owner)]
public sealed class MyBatsModel(ReadingDesk desk) : PageModel
{
    public IReadOnlyList<Holding> Bats { get; private set; } = [];

    public async Task OnGet()
    {
        if (Viewer.Of(User)!.Party is { } party && await desk.BatsOf(party, HttpContext.RequestAborted) is { } bats) Bats = Holdings.Of(bats).Bats;
    }
}
