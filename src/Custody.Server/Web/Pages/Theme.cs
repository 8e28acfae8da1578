using Custody.Server.Accounts;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Web.Pages;

/// <summary>Light or dark: as the reader's device says, until they choose. The choice is kept in a cookie of theirs and nowhere else.</summary>
static class Theme
{
    public const string Cookie = "theme";

    public static IReadOnlyList<string> Names { get; } = ["as device", "light", "dark"];

    public static string Of(HttpRequest request) => request.Cookies[Cookie] is { } said && Names.Contains(said) ? said : Names[0];
}

/// <summary>Takes the choice and goes back to the page it was made on.</summary>
[Anybody]
public sealed class ThemeModel : PageModel
{
    public IActionResult OnPost(string? theme, string? back)
    {
        if (theme is not null && Theme.Names.Contains(theme))
            Response.Cookies.Append(Theme.Cookie, theme, new CookieOptions { HttpOnly = true, SameSite = SameSiteMode.Lax, MaxAge = TimeSpan.FromDays(365), IsEssential = true });
        return LocalRedirect(Url.IsLocalUrl(back) ? back : "/");
    }
}
