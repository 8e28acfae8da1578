using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Identity;

namespace Custody.Server.Accounts;

/// <summary>A browser sends its cookie with whatever another site makes it send. So what changes anything through the API with a session's cookie must carry the
/// pages' own proof; programs use tokens, which no other site can make a browser send. Razor Pages ask for theirs themselves.</summary>
public sealed class FromOurPages(RequestDelegate next, IAntiforgery antiforgery)
{
    public async Task InvokeAsync(HttpContext http)
    {
        var method = http.Request.Method;
        var changes = !(HttpMethods.IsGet(method) || HttpMethods.IsHead(method) || HttpMethods.IsOptions(method));
        if (changes && http.Request.Path.StartsWithSegments("/api", StringComparison.Ordinal)
            && http.User.Identity is { IsAuthenticated: true, AuthenticationType: var type } && type == IdentityConstants.ApplicationScheme
            && !await antiforgery.IsRequestValidAsync(http))
        {
            await Web.Problems.NotYourPage().ExecuteAsync(http);
            return;
        }
        await next(http);
    }
}
