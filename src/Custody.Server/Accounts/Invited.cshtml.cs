using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using Microsoft.AspNetCore.RateLimiting;

namespace Custody.Server.Accounts;

/// <summary>Where an invitation's link leads: a password is chosen and the account made. The link works once.</summary>
[Anybody, AtTheDoor, EnableRateLimiting(AccountServices.TriesLimit), RequestSizeLimit(AccountServices.MostBytes)]
public sealed class InvitedModel(AccountDesk desk, SignInManager<Account> signIn) : PageModel
{
    [BindProperty(SupportsGet = true, Name = "token")]
    public string? Token { get; set; }

    [BindProperty]
    public string? Password { get; set; }

    [BindProperty]
    public string? Again { get; set; }

    public Invitation? Invitation { get; private set; }

    public async Task<IActionResult> OnGet() => await Shown();

    public async Task<IActionResult> OnPost()
    {
        if (Password != Again) ModelState.AddModelError(nameof(Again), "The two passwords differ.");
        else if (Password is null or { Length: > 1000 }) ModelState.AddModelError(nameof(Password), "Choose a password of 15 to 1,000 characters.");
        else
        {
            var (account, refused) = await desk.Take(Token ?? "", Password, HttpContext.RequestAborted);
            if (account is not null)
            {
                await signIn.SignInAsync(account, isPersistent: false);
                return Redirect("/");
            }
            foreach (var reason in refused) ModelState.AddModelError(nameof(Password), reason);
        }
        return await Shown();
    }

    async Task<IActionResult> Shown()
    {
        Invitation = await desk.Invitation(Token ?? "", HttpContext.RequestAborted);
        if (Invitation is null) Response.StatusCode = StatusCodes.Status410Gone;
        // The address holds the token: it goes to nobody else.
        Response.Headers["Referrer-Policy"] = "no-referrer";
        return Page();
    }
}
