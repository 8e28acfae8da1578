using Custody.Server.Cosigning;
using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>The log as anybody reads it (c2sp.org/tlog-tiles): plain files under the server's own address, which is the log's prefix. No account,
/// no query, nothing from the database, so that the log stays readable while the rest is down.</summary>
static class LogFiles
{
    // c2sp.org/tlog-tiles: a tile or bundle never changes once it is there; the checkpoint does, so caches must ask each time.
    const string ForEver = "public, max-age=31536000, immutable";
    const string AskEachTime = "no-cache";

    static readonly string[] Reading = ["GET", "HEAD"];

    public static void MapLogFiles(this IEndpointRouteBuilder app)
    {
        app.MapMethods("/checkpoint", Reading, (HttpContext http, Checkpoints checkpoints, Cosigners cosigners) => Note(http, Newest(checkpoints, cosigners))).WithMetadata(new Accounts.Anybody()).ExcludeFromDescription();
        app.MapMethods("/tile/{**path}", Reading, (string path, HttpContext http, TileFolder tiles) => TileAt("tile/" + path, http, tiles)).WithMetadata(new Accounts.Anybody()).ExcludeFromDescription();
    }

    /// <summary>The newest checkpoint, with the cosignatures it has got so far.</summary>
    public static byte[]? Newest(Checkpoints checkpoints, Cosigners cosigners) =>
        checkpoints.NewestFile() is { } note ? cosigners.NoteAt(Checkpoint.Read(SignedNote.Parse(note)).Size) ?? note : null;

    static IResult TileAt(string path, HttpContext http, TileFolder tiles)
    {
        // One spelling for each tile: no second address under which a cache could hold it. An empty tile has no spelling at all.
        if (!Tile.TryParse(path, out var tile) || tiles.Find(tile) is not { } bytes) return Absent(http);
        http.Response.Headers.CacheControl = ForEver;
        return Results.Bytes(bytes, "application/octet-stream");
    }

    /// <summary>A signed note, with its own hash as its tag.</summary>
    public static IResult Note(HttpContext http, byte[]? note)
    {
        if (note is null) return Absent(http);
        http.Response.Headers.CacheControl = AskEachTime;
        return Results.Bytes(note, "text/plain; charset=utf-8", entityTag: new($"\"{Hash.Of(note).Text}\""));
    }

    // What is not there now may be there in a moment: no cache may go on denying it.
    static IResult Absent(HttpContext http)
    {
        http.Response.Headers.CacheControl = "no-store";
        return Results.NotFound();
    }
}
