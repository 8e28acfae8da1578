using System.Globalization;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Accounts;

/// <summary>One's own account: sessions, passkeys, password, tokens.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Owner, AccountRole.Auditor, AccountRole.Keeper), RequestSizeLimit(AccountServices.MostBytes)]
public sealed class MineModel(AccountDesk desk, UserManager<Account> accounts, SignInManager<Account> signIn) : PageModel
{
    [BindProperty]
    public string? Present { get; set; }

    [BindProperty]
    public string? Fresh { get; set; }

    [BindProperty]
    public string? Purpose { get; set; }

    [BindProperty]
    public string? Days { get; set; } = "90";

    [BindProperty]
    public string[] TokenRoles { get; set; } = [];

    public Account Own { get; private set; } = new();
    public IReadOnlyList<Session> Sessions { get; private set; } = [];
    public IReadOnlyList<ApiToken> Tokens { get; private set; } = [];
    public IList<UserPasskeyInfo> Passkeys { get; private set; } = [];

    /// <summary>A token just made, shown this once.</summary>
    public string? Made { get; private set; }

    public Task<IActionResult> OnGet() => Shown();

    public async Task<IActionResult> OnPostEnd(string? session)
    {
        await desk.EndSessions(await OwnId(), session, HttpContext.RequestAborted);
        return Redirect("/account");
    }

    public async Task<IActionResult> OnPostPassword()
    {
        var own = (await accounts.GetUserAsync(User))!;
        var changed = await accounts.ChangePasswordAsync(own, Present ?? "", Fresh ?? "");
        if (!changed.Succeeded)
        {
            foreach (var error in changed.Errors) ModelState.AddModelError(error.Code == "PasswordMismatch" ? nameof(Present) : nameof(Fresh), error.Description);
            return await Shown();
        }
        await desk.EndOtherSessions(own.Id, Accounts.Sessions.Present(HttpContext), HttpContext.RequestAborted);
        // The stamp of the account changed with its password; this session goes on under the new one.
        await signIn.RefreshSignInAsync(own);
        TempData[ActPage.DoneKey] = "Your password is changed, and every other session of yours has ended.";
        return Redirect("/account");
    }

    /// <summary>What a browser needs to make a passkey (WebAuthn Level 3 section 5.4).</summary>
    public async Task<IActionResult> OnPostPasskeyOptions()
    {
        var own = (await accounts.GetUserAsync(User))!;
        return Content(await signIn.MakePasskeyCreationOptionsAsync(new() { Id = own.Id, Name = own.UserName!, DisplayName = own.ShownName }), "application/json");
    }

    public async Task<IActionResult> OnPostAddPasskey(string? credential)
    {
        var made = credential is { Length: > 0 and < 20_000 } ? await signIn.PerformPasskeyAttestationAsync(credential) : null;
        if (made is { Succeeded: true } && (await accounts.AddOrUpdatePasskeyAsync((await accounts.GetUserAsync(User))!, made.Passkey)).Succeeded)
        {
            TempData[ActPage.DoneKey] = "The passkey is added.";
            return Redirect("/account");
        }
        ModelState.AddModelError("", "The passkey was not taken. Load the page again and try once more.");
        return await Shown();
    }

    public async Task<IActionResult> OnPostRemovePasskey(string? passkey)
    {
        var id = new byte[1024];
        if (Convert.TryFromBase64String(passkey ?? "", id, out var length)) await accounts.RemovePasskeyAsync((await accounts.GetUserAsync(User))!, id[..length]);
        return Redirect("/account");
    }

    public async Task<IActionResult> OnPostToken()
    {
        var own = (await accounts.GetUserAsync(User))!;
        var roles = Typed.Words<AccountRole>(TokenRoles);
        var days = int.TryParse(Days, NumberStyles.None, CultureInfo.InvariantCulture, out var said) ? said : 0;
        var (token, refused) = await desk.MakeToken(own, Purpose ?? "", roles, TimeSpan.FromDays(days), HttpContext.RequestAborted);
        if (refused is not null) ModelState.AddModelError(refused.Code switch { "purpose-missing" => nameof(Purpose), "token-time" => nameof(Days), _ => "" }, $"{refused.Sentence} {refused.Remedy}");
        Made = token;
        return await Shown();
    }

    public async Task<IActionResult> OnPostRevoke(string? id)
    {
        await desk.Revoke(await OwnId(), id ?? "", HttpContext.RequestAborted);
        return Redirect("/account");
    }

    async Task<string> OwnId() => (await accounts.GetUserAsync(User))!.Id;

    async Task<IActionResult> Shown()
    {
        if (await accounts.GetUserAsync(User) is not { } own) return NotFound();
        (Own, Passkeys) = (own, await accounts.GetPasskeysAsync(own));
        Sessions = await desk.SessionsOf(own.Id, HttpContext.RequestAborted);
        Tokens = await desk.TokensOf(own.Id, HttpContext.RequestAborted);
        return Page();
    }
}
