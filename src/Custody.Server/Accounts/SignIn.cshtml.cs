using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using Microsoft.AspNetCore.RateLimiting;

namespace Custody.Server.Accounts;

/// <summary>The door. Says the same to a wrong password, an unknown name and a closed account, and takes the same work for each.</summary>
[Anybody, AtTheDoor, EnableRateLimiting(AccountServices.TriesLimit), RequestSizeLimit(AccountServices.MostBytes)]
public sealed class SignInModel(SignInManager<Account> signIn, UserManager<Account> accounts, AccountDesk desk, IAuthenticationSchemeProvider schemes) : PageModel
{
    const string Wrong = "Name and password do not fit together, or the account is closed or locked for a while. After ten wrong tries an account is locked for 15 minutes.";

    // Hashed against where there is no password to try, so that the answer takes as long.
    static readonly string Decoy = new PasswordHasher<Account>().HashPassword(new(), Secrets.New());

    [BindProperty]
    public string? Name { get; set; }

    [BindProperty]
    public string? Password { get; set; }

    [BindProperty(SupportsGet = true, Name = "back")]
    public string? Back { get; set; }

    /// <summary>Where else one can sign in; null when nowhere was configured.</summary>
    public string? Elsewhere { get; private set; }

    public async Task OnGet() => await Load();

    public async Task<IActionResult> OnPost()
    {
        if (Name is { Length: > 0 and <= 200 } name && Password is { Length: > 0 and <= 1000 } password)
        {
            var account = await accounts.FindByNameAsync(name.Trim());
            // An unknown name, a closed account, one without a password and a locked one cost what a wrong password costs.
            if (account is { Closed: null, PasswordHash: not null } && !await accounts.IsLockedOutAsync(account))
            {
                if ((await signIn.PasswordSignInAsync(account, password, isPersistent: false, lockoutOnFailure: true)).Succeeded) return GoBack();
            }
            else
            {
                accounts.PasswordHasher.VerifyHashedPassword(new(), Decoy, password);
            }
        }
        ModelState.AddModelError("", Wrong);
        Password = null;
        await Load();
        return Page();
    }

    /// <summary>What a browser needs to ask for a passkey (WebAuthn Level 3 section 5.5).</summary>
    public async Task<IActionResult> OnPostPasskeyOptions() => Content(await signIn.MakePasskeyRequestOptionsAsync(null), "application/json");

    public async Task<IActionResult> OnPostPasskey(string? credential)
    {
        if (credential is { Length: > 0 and < 20_000 } && await TryPasskey(credential)) return GoBack();
        ModelState.AddModelError("", "The passkey was not taken. It may belong to an account that is closed, or to another server.");
        await Load();
        return Page();
    }

    /// <summary>Sends the browser to where one signs in elsewhere. By a link: a form may go nowhere else, and this changes nothing.</summary>
    public async Task<IActionResult> OnGetElsewhere()
    {
        await Load();
        return Elsewhere is null ? NotFound() : Challenge(signIn.ConfigureExternalAuthenticationProperties(Elsewheres.SchemeName, Url.Page("/Accounts/SignIn", "FromElsewhere", new { back = Back })), Elsewheres.SchemeName);
    }

    /// <summary>Comes back from where somebody signed in: lets in an account that was invited with that address, and no other.</summary>
    public async Task<IActionResult> OnGetFromElsewhere()
    {
        var login = await signIn.GetExternalLoginInfoAsync();
        await HttpContext.SignOutAsync(IdentityConstants.ExternalScheme);
        if (login is not null && await Elsewheres.AccountOf(login, accounts, desk, HttpContext.RequestAborted) is { } account)
        {
            await signIn.SignInAsync(account, isPersistent: false);
            return GoBack();
        }
        ModelState.AddModelError("", "You were not signed in there, or nobody here was invited with that address. Try once more, or ask the keeper.");
        await Load();
        return Page();
    }

    async Task<bool> TryPasskey(string credential)
    {
        var asserted = await signIn.PerformPasskeyAssertionAsync(credential);
        if (!asserted.Succeeded || asserted.User is not { Closed: null } account) return false;
        await accounts.AddOrUpdatePasskeyAsync(account, asserted.Passkey);
        await signIn.SignInAsync(account, isPersistent: false);
        return true;
    }

    async Task Load() => Elsewhere = (await schemes.GetSchemeAsync(Elsewheres.SchemeName))?.DisplayName;

    RedirectResult GoBack() => Redirect(Url.IsLocalUrl(Back) ? Back : "/");
}
