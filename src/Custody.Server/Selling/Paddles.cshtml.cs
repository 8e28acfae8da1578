using Custody.Server.Accounts;
using Custody.Server.Parties;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Selling;

/// <summary>Who bids under which paddle of a sale, so that a result takes a number and no name.</summary>
[MayUse(AccountRole.Cataloguer)]
public sealed class PaddlesModel(Recorder recorder, SaleDesk desk, PaddleBook book, PeopleDesk people) : SalePage(recorder, desk)
{
    /// <summary>What the form says.</summary>
    public sealed class Asked
    {
        public string? Paddle { get; set; }
        public PersonTyped Bidder { get; set; } = new();
    }

    [BindProperty]
    public Asked Input { get; set; } = new();

    public IReadOnlyList<Paddle> All { get; private set; } = [];

    public async Task<IActionResult> OnGetAsync() => await Begin() ? Page() : NotFound();

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Begin()) return NotFound();
        if (LookedUp is not null) return Page();
        var number = PaddleBook.Read(Input.Paddle);
        Needed(number, "Input.Paddle", "Give the paddle's number: letters and digits, ten at most.");
        var party = await Person(people, Input.Bidder, "Input.Bidder", "Say who bids under it.");
        if (!ModelState.IsValid || party is null) return Page();
        if (await book.Give(Head.Stream, number!, party, HttpContext.RequestAborted)) return Done($"Paddle {number} is given out.", Head.Address + "/paddles");
        Refuse("Input.Paddle", $"Paddle {number} is with somebody else.", "Take it back from them first, or give another.");
        return Page();
    }

    public async Task<IActionResult> OnPostTakeAsync(string? paddle)
    {
        if (!await Begin() || PaddleBook.Read(paddle) is not { } number) return NotFound();
        await book.Take(Head.Stream, number, HttpContext.RequestAborted);
        return Done($"Paddle {number} is taken back. What it bought stands.", Head.Address + "/paddles");
    }

    async Task<bool> Begin()
    {
        if (!await Load()) return false;
        All = await book.All(Head.Stream, HttpContext.RequestAborted);
        return true;
    }
}
