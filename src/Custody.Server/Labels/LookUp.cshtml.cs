using Custody.Server.Accounts;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Labels;

/// <summary>From characters that somebody typed to the label's own page.</summary>
[Anybody]
public sealed class LookUpModel : PageModel
{
    public IActionResult OnGet(string? token)
    {
        var typed = string.Concat((token ?? "").Where(char.IsAsciiLetterOrDigit));
        return Redirect(typed.Length is 0 or > 60 ? "/" : "/L/" + typed);
    }
}
