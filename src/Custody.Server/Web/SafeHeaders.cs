namespace Custody.Server.Web;

/// <summary>What every answer tells a browser: nothing from elsewhere, nothing inline, no frames, no guessing of types. Pages with a stricter policy of their own keep it.</summary>
public sealed class SafeHeaders(RequestDelegate next)
{
    const string Policy = "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; frame-src 'self'";

    public Task InvokeAsync(HttpContext http)
    {
        http.Response.OnStarting(() =>
        {
            var headers = http.Response.Headers;
            headers.XContentTypeOptions = "nosniff";
            // A year, as RFC 6797 section 6.1 shows it; only where https is spoken at all.
            if (http.Request.IsHttps) headers.TryAdd("Strict-Transport-Security", "max-age=31536000");
            headers.TryAdd("Referrer-Policy", "same-origin");
            headers.TryAdd("Cross-Origin-Opener-Policy", "same-origin");
            headers.TryAdd("Permissions-Policy", "camera=(self), geolocation=(), microphone=(), browsing-topics=()");
            if (http.Response.ContentType?.StartsWith("text/html", StringComparison.Ordinal) == true)
            {
                headers.TryAdd("Content-Security-Policy", Policy);
                // Names are in it: nothing on the way keeps a copy, and the back button after signing out shows nothing.
                headers.TryAdd("Cache-Control", "no-store");
            }
            return Task.CompletedTask;
        });
        return next(http);
    }
}
