using System.Collections.Frozen;
using System.IO.Compression;
using System.Security.Cryptography;
using Custody.Server.Accounts;

namespace Custody.Server.Web.Pages;

/// <summary>Style and script of the pages, compiled into the program. The address holds the content's hash, so that a browser keeps it for ever and a new
/// version is asked for at once.</summary>
public static class Assets
{
    const string Prefix = "asset:";

    static readonly FrozenDictionary<string, (string Hash, byte[] Bytes, byte[] Brotli)> All = typeof(Assets).Assembly.GetManifestResourceNames()
        .Where(n => n.StartsWith(Prefix, StringComparison.Ordinal)).ToFrozenDictionary(n => n[Prefix.Length..], Read, StringComparer.Ordinal);

    /// <summary>Whether there is such a file: a library that could not be fetched when this was built is not, and the pages work without it.</summary>
    public static bool Has(string name) => All.ContainsKey(name);

    /// <summary>The address of a file, with its hash.</summary>
    /// <exception cref="KeyNotFoundException">There is no such file.</exception>
    public static string Url(string name) => $"/assets/{All[name].Hash}/{name}";

    public static void MapAssets(this IEndpointRouteBuilder app) => app.MapGet("/assets/{hash}/{name}", (string hash, string name, HttpContext http) =>
    {
        if (!All.TryGetValue(name, out var file) || file.Hash != hash) return Results.NotFound();
        http.Response.Headers.CacheControl = "public, max-age=31536000, immutable";
        http.Response.Headers.XContentTypeOptions = "nosniff";
        http.Response.Headers.Vary = "Accept-Encoding";
        var pressed = http.Request.Headers.AcceptEncoding.ToString().Split(',', StringSplitOptions.TrimEntries).Contains("br");
        if (pressed) http.Response.Headers.ContentEncoding = "br";
        return Results.Bytes(pressed ? file.Brotli : file.Bytes, name.EndsWith(".css", StringComparison.Ordinal) ? "text/css; charset=utf-8" : "text/javascript; charset=utf-8");
    }).WithMetadata(new Anybody()).ExcludeFromDescription();

    static (string, byte[], byte[]) Read(string resource)
    {
        using var stream = typeof(Assets).Assembly.GetManifestResourceStream(resource)!;
        using MemoryStream bytes = new();
        stream.CopyTo(bytes);
        // Pressed once (RFC 7932): nothing secret stands in these files, so their length tells nothing.
        using MemoryStream pressed = new();
        using (BrotliStream brotli = new(pressed, CompressionLevel.SmallestSize)) brotli.Write(bytes.ToArray());
        return (Convert.ToHexStringLower(SHA256.HashData(bytes.ToArray()))[..16], bytes.ToArray(), pressed.ToArray());
    }
}
