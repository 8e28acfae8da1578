using Custody.Bats;
using Custody.Evidence.Text;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Owning;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Challenges;

/// <summary>An owner answers a buyer's challenge. That the account is theirs is what the answer proves; no other secret is asked for.</summary>
[MayUse(AccountRole.Owner)]
public sealed class AnswerChallengeModel(OwnersDesk owners, ChallengeDesk desk, LedgerName ledger) : PageModel
{
    /// <summary>What the form says.</summary>
    public sealed class Given
    {
        public string? Code { get; set; }
        public string? Bat { get; set; }
        public string? Words { get; set; }
    }

    [BindProperty]
    public Given Input { get; set; } = new();

    public IReadOnlyList<SelectListItem> Bats { get; private set; } = [];

    /// <summary>What the answer proved, in words; null while none was given.</summary>
    public string? Said { get; private set; }

    public async Task OnGet() => await Load();

    public async Task<IActionResult> OnPost()
    {
        await Load();
        if (Viewer.Of(User)!.Party is not { } party) ModelState.AddModelError("", "Your account acts for nobody in this ledger. Ask the keeper to say for whom.");
        else if (!TextAtTheDoor.Check(Input.Words ?? "", HolderChallenge.LongestWords, out var words, out var unfit)) ModelState.AddModelError("Input.Words", $"{unfit.Sentence} {unfit.Remedy}");
        else
        {
            var (done, refused) = await desk.Answer(party, Input.Code ?? "", Input.Bat ?? "", words, HttpContext.RequestAborted);
            if (done is null) ModelState.AddModelError(FieldOf(refused!.Code), $"{refused.Sentence} {refused.Remedy}");
            else Said = done.Said(ledger.Origin, Number(done.Bat), desk.Now);
        }
        return Page();
    }

    async Task Load()
    {
        Bats = [.. (await owners.Of(Viewer.Of(User)!, HttpContext.RequestAborted)).Where(b => b.Standing == OwnStanding.Holds)
            .Select(b => b.Reading.Sheet()).Select(s => new SelectListItem($"{s.ShortNumber}  {s.Description}", s.ShortNumber))];
    }

    // Only a bat of this list was answered for.
    string Number(StreamName bat) => Input.Bat is { } said && Bats.Any(b => b.Value == said) ? said : bat.Id;

    static string FieldOf(string code) => code switch
    {
        "challenge-other-words" => "Input.Words",
        "challenge-other-bat" or "unknown-bat" or "challenge-not-holder" or "challenge-not-here" => "Input.Bat",
        _ => "Input.Code",
    };
}
