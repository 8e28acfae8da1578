using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Accounts;

/// <summary>Ends this session. Only by a form: a link could be made to sign somebody out by any page.</summary>
[Anybody]
public sealed class SignOutModel(SignInManager<Account> signIn) : PageModel
{
    public async Task<IActionResult> OnPost()
    {
        await signIn.SignOutAsync();
        return Redirect("/");
    }

    public IActionResult OnGet() => Redirect("/account");
}
