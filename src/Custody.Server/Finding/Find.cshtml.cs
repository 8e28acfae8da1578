using Custody.Server.Accounts;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Finding;

/// <summary>Finds bats by number, words and standing, and people, sales and files by words.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Auditor)]
public sealed class FindModel(FinderDesk desk) : PageModel
{
    const int Longest = 200;

    public string Q { get; private set; } = "";

    public BatStanding Standing { get; private set; }

    /// <summary>Null when nothing was asked.</summary>
    public FinderAnswer? Answer { get; private set; }

    /// <summary>Why the question is not answered.</summary>
    public string? NotAnswered { get; private set; }

    /// <param name="q">A short number, or words that must all occur.</param>
    /// <param name="standing">A <see cref="BatStanding"/> by name; nothing for any.</param>
    public async Task<IActionResult> OnGet(string? q, string? standing)
    {
        Q = q?.Trim() ?? "";
        Standing = Enum.GetValues<BatStanding>().FirstOrDefault(s => s.ToString().Equals(standing, StringComparison.OrdinalIgnoreCase));
        if (Q.Length > Longest)
        {
            (Q, NotAnswered) = (Q[..Longest], $"That is too long to search for. Give one to eight whole words, {Longest} characters at most.");
            return Page();
        }
        if (Q.Length == 0 && Standing == BatStanding.Any) return Page();
        if (Standing == BatStanding.Any && await desk.Exactly(Q, HttpContext.RequestAborted) is { } number) return LocalRedirect("/bats/" + number);
        if (Q.Length > 0 && !SearchWords.Of(Q).Any())
        {
            NotAnswered = "There is no word in that to search for. Give whole words of two characters or more, or a bat's short number.";
            return Page();
        }
        Answer = await desk.Find(Q, Standing, Viewer.Of(User)?.Party, HttpContext.RequestAborted);
        return Page();
    }
}
