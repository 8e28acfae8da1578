using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.SaleStream;

/// <summary>One sale: its terms, its lots in their order, and how it goes on.</summary>
[MayUse(AccountRole.Cataloguer, AccountRole.Registrar, AccountRole.Auditor)]
public sealed class SaleModel(Recorder recorder, SaleDesk desk) : SalePage(recorder, desk)
{
    [BindProperty]
    public string? Ground { get; set; }

    [BindProperty]
    public string? Reason { get; set; }

    /// <summary>The lots with everything recorded of their bats.</summary>
    public IReadOnlyList<SaleLot> Lots { get; private set; } = [];

    /// <summary>Bats that are consigned and stand in no sale, by number.</summary>
    public IReadOnlyList<string> Waiting { get; private set; } = [];

    public async Task<IActionResult> OnGetAsync()
    {
        if (!await Load()) return NotFound();
        Seen = Head.N;
        return await Shown();
    }

    /// <summary>To the page that offers a bat in this sale.</summary>
    public async Task<IActionResult> OnGetOfferAsync(string? bat) =>
        !await Load() ? NotFound() : LocalRedirect($"/bats/{Uri.EscapeDataString(string.IsNullOrWhiteSpace(bat) ? "-" : bat.Trim())}/offer?sale={Head.Stream.Id}");

    public Task<IActionResult> OnPostOpenAsync() => Do(by => new OpenSale { By = by }, "The sale has begun. Its terms no longer change.", "/run");

    public Task<IActionResult> OnPostCloseAsync() => Do(by => new CloseSale { By = by }, "The sale is over.");

    public Task<IActionResult> OnPostCallOffAsync()
    {
        var ground = Word<CallOffGround>(Ground);
        Needed(ground, nameof(Ground), "Say why it is called off.");
        return Do(by => new CallOffSale(ground!.Value, Text(Reason)) { By = by }, "The sale is called off. Each of its open lots is withdrawn by an act of its own.");
    }

    async Task<IActionResult> Do(Func<PartyId, SaleCommand> command, string said, string below = "")
    {
        if (!await Load() || !MayAct) return NotFound();
        if (Acting() is not { } by || !ModelState.IsValid || await Record(Head.Stream, command(by)) is null)
        {
            await Load();
            return await Shown();
        }
        return Done(said, Head.Address + below);
    }

    async Task<IActionResult> Shown()
    {
        List<SaleLot> lots = [];
        foreach (var line in Lines) lots.Add(await Desk.Lot(line, HttpContext.RequestAborted));
        Lots = lots;
        if (MayAct && Head.TakesLots) Waiting = await Desk.Waiting(HttpContext.RequestAborted);
        return Page();
    }
}
