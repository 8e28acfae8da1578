using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Owning;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Transferring;

/// <summary>An owner offers a bat to somebody; the link given out here is how the other side confirms.</summary>
[MayUse(AccountRole.Owner)]
public sealed class TransferModel(OwnersDesk owners, TransferDesk desk) : PageModel
{
    /// <summary>What the form says.</summary>
    public sealed class Asked
    {
        public string? To { get; set; }
        public string? Kind { get; set; } = nameof(AcquisitionKind.Purchase);
        public bool HandedOver { get; set; }
    }

    [BindProperty]
    public Asked Input { get; set; } = new();

    public OwnBat Own { get; private set; } = null!;

    public WaitingTransfer? Waiting { get; private set; }

    /// <summary>The address that was just made; shown this once.</summary>
    public string? Address { get; private set; }

    public bool IsWithOwner => Own.Bat.Keeping.Custodian == Own.Alias;

    public static IEnumerable<SelectListItem> Kinds { get; } =
    [
        new("purchase", nameof(AcquisitionKind.Purchase)), new("gift", nameof(AcquisitionKind.Gift)), new("exchange", nameof(AcquisitionKind.Exchange)), new("otherwise", nameof(AcquisitionKind.Other)),
    ];

    public Task<IActionResult> OnGet(string number) => For(number, party => Task.FromResult<IActionResult>(Page()));

    public Task<IActionResult> OnPost(string number) => For(number, async party =>
    {
        if (string.IsNullOrWhiteSpace(Input.To)) ModelState.AddModelError("Input.To", "Say to whom it goes.");
        else if (!Kinds.Any(k => k.Value == Input.Kind)) ModelState.AddModelError("Input.Kind", "Choose how it goes over.");
        else
        {
            var (token, refused) = await desk.Offer(Own.Bat, Own.Alias, new(party, Input.To.Trim(), Enum.Parse<AcquisitionKind>(Input.Kind!), Input.HandedOver), HttpContext.RequestAborted);
            if (refused is not null) ModelState.AddModelError(refused.Code.StartsWith("text", StringComparison.Ordinal) ? "Input.To" : refused.Code == "not-custodian" ? "Input.HandedOver" : "", $"{refused.Sentence} {refused.Remedy}");
            else Address = $"{Request.Scheme}://{Request.Host}/transfer/{token}";
            Waiting = await desk.Waiting(party, Own.Bat, HttpContext.RequestAborted);
        }
        return Page();
    });

    /// <summary>Takes the offer back: its link leads nowhere.</summary>
    public Task<IActionResult> OnPostWithdraw(string number) => For(number, async party =>
    {
        await desk.Withdraw(party, Own.Bat, HttpContext.RequestAborted);
        TempData[Web.Pages.ActPage.DoneKey] = "The offer was taken back. Nothing was recorded.";
        return LocalRedirect($"/mine/{Own.Bat.Registration!.ShortNumber}/transfer");
    });

    async Task<IActionResult> For(string number, Func<PartyId, Task<IActionResult>> answer)
    {
        var viewer = Viewer.Of(User)!;
        if (await owners.Held(viewer, number, HttpContext.RequestAborted) is not { } own) return NotFound();
        Own = own;
        Waiting = await desk.Waiting(viewer.Party!, own.Bat, HttpContext.RequestAborted);
        return await answer(viewer.Party!);
    }
}
