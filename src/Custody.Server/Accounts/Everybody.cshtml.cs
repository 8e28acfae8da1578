using Custody.Bats;
using Custody.Server.Web.Pages;
using Marten;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Accounts;

/// <summary>Everybody's accounts, for the keeper.</summary>
[MayUse(AccountRole.Keeper), RequestSizeLimit(AccountServices.MostBytes)]
public sealed class EverybodyModel(AccountDesk desk, IDocumentStore store) : PageModel
{
    [BindProperty]
    public string? ShownName { get; set; }

    [BindProperty]
    public string? SignInName { get; set; }

    [BindProperty]
    public string[] Roles { get; set; } = [];

    [BindProperty]
    public string? Party { get; set; }

    public IReadOnlyList<Account> Accounts { get; private set; } = [];
    public IReadOnlyList<Invitation> Invitations { get; private set; } = [];

    /// <summary>The link of an invitation just made, shown this once.</summary>
    public string? Link { get; private set; }

    public Task<IActionResult> OnGet() => Shown();

    public async Task<IActionResult> OnPost()
    {
        PartyId? party = null;
        if (!string.IsNullOrWhiteSpace(Party))
        {
            if (StreamName.TryParse(Party.Trim(), out var stream) && stream.Kind == "party" && await Known(stream)) party = new(stream);
            else ModelState.AddModelError(nameof(Party), "There is no such party in this ledger. Record it first, and give its stream's name.");
        }
        if (!ModelState.IsValid) return await Shown();
        var roles = Typed.Words<AccountRole>(Roles);
        var (token, refused) = await desk.Invite(SignInName ?? "", ShownName ?? "", roles, party, HttpContext.RequestAborted);
        if (refused is not null) ModelState.AddModelError(FieldOf(refused.Code), $"{refused.Sentence} {refused.Remedy}");
        else Link = $"{Request.Scheme}://{Request.Host}/invited?token={token}";
        return await Shown();
    }

    public async Task<IActionResult> OnPostEndSessions(string? id)
    {
        await desk.EndSessions(id ?? "", null, HttpContext.RequestAborted);
        return Done("Their sessions have ended.");
    }

    public async Task<IActionResult> OnPostClose(string? id)
    {
        if (await desk.Close(id ?? "", HttpContext.RequestAborted) is not { } refused) return Done("The account is closed.");
        ModelState.AddModelError("", $"{refused.Sentence} {refused.Remedy}");
        return await Shown();
    }

    public async Task<IActionResult> OnPostWithdraw(string? id)
    {
        await desk.Withdraw(id ?? "", HttpContext.RequestAborted);
        return Done("The invitation is withdrawn.");
    }

    static string FieldOf(string code) => code switch { "name-taken" or "name-unfit" => nameof(SignInName), "party-missing" => nameof(Party), _ => "" };

    async Task<bool> Known(StreamName party)
    {
        await using var session = store.QuerySession();
        return await session.LoadAsync<PartyState>(party.ToString(), HttpContext.RequestAborted) is not null;
    }

    RedirectResult Done(string said)
    {
        TempData[ActPage.DoneKey] = said;
        return Redirect("/accounts");
    }

    async Task<IActionResult> Shown()
    {
        Accounts = await desk.All(HttpContext.RequestAborted);
        Invitations = await desk.OpenInvitations(HttpContext.RequestAborted);
        return Page();
    }
}
