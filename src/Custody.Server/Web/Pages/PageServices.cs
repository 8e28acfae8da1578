using System.IO.Compression;
using Microsoft.AspNetCore.ResponseCompression;

namespace Custody.Server.Web.Pages;

/// <summary>Razor Pages in the feature folders, and what a person sees instead of a bare status.</summary>
static class PageServices
{
    public static void AddPages(this IServiceCollection services)
    {
        services.AddHttpContextAccessor();
        services.AddScoped<Showing>();
        // Pages only. Their length could tell a secret to whoever makes a browser ask again and again with words of their own (BREACH), but no other site's
        // request carries the session's cookie, and the token against forged requests is masked anew in every answer.
        services.AddResponseCompression(options => (options.EnableForHttps, options.MimeTypes) = (true, ["text/html"]));
        services.Configure<BrotliCompressionProviderOptions>(options => options.Level = CompressionLevel.Fastest);
        services.Configure<GzipCompressionProviderOptions>(options => options.Level = CompressionLevel.Fastest);
        services.AddRazorPages(options => options.RootDirectory = "/");
        services.AddAntiforgery(options => (options.Cookie.SameSite, options.Cookie.SecurePolicy) = (SameSiteMode.Strict, CookieSecurePolicy.SameAsRequest));
    }

    /// <summary>Faults and refusals of pages are said in words; the API keeps its problem details.</summary>
    public static void UsePages(this IApplicationBuilder app) => app.UseWhen(IsForPeople, people =>
    {
        people.UseExceptionHandler("/status/500");
        people.UseStatusCodePagesWithReExecute("/status/{0}");
    });

    static bool IsForPeople(HttpContext http) =>
        !http.Request.Path.StartsWithSegments("/api", StringComparison.Ordinal) && !http.Request.Path.StartsWithSegments("/log", StringComparison.Ordinal)
        && http.Request.Headers.Accept.ToString().Contains("text/html", StringComparison.Ordinal);
}
