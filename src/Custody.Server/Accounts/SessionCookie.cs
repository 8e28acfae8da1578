using Microsoft.AspNetCore.Authentication.Cookies;

namespace Custody.Server.Accounts;

/// <summary>A page at which sessions begin. Nobody is known there by the cookie they bring, so that each session begins under a name of its own: the cookie's
/// handler would put whoever signs in under the name that the browser already has, and somebody else may have given it that.</summary>
[AttributeUsage(AttributeTargets.Class)]
public sealed class AtTheDoor : Attribute;

/// <summary>Reads and writes the session's cookie. Over https it carries the prefix by which browsers hold it to this one host (RFC 6265bis section 4.1.3.2).</summary>
sealed class SessionCookie : ICookieManager
{
    readonly ChunkingCookieManager cookies = new();

    public static string NameOver(HttpRequest request, string name) => request.IsHttps ? "__Host-" + name : name;

    public string? GetRequestCookie(HttpContext context, string key) =>
        context.GetEndpoint()?.Metadata.GetMetadata<AtTheDoor>() is not null ? null : cookies.GetRequestCookie(context, NameOver(context.Request, key));

    public void AppendResponseCookie(HttpContext context, string key, string? value, CookieOptions options) =>
        cookies.AppendResponseCookie(context, NameOver(context.Request, key), value, options);

    public void DeleteCookie(HttpContext context, string key, CookieOptions options) => cookies.DeleteCookie(context, NameOver(context.Request, key), options);
}
