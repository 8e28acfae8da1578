using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Photographs;
using Custody.Server.Web;
using Custody.Transparency;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.AspNetCore.Mvc;
using Wolverine;
using Wolverine.Http;

namespace Custody.Server.Photographing;

/// <summary>What a received picture is called in a <c>PhotographBat</c> command.</summary>
public sealed record PictureAnswered(string Released, string Original, int Width, int Height, string? Device, string? TakenByFile);

/// <summary>What a received document is called where a command names its hash.</summary>
public sealed record DocumentAnswered(string Hash, long Length);

/// <summary>Files in and out. Receiving one records nothing on any bat: the act that names its hash does.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Owner)]
public static class PictureEndpoints
{
    /// <summary>Receives a photograph as the request's body. <c>concerns</c> names the party with whose key the original goes, when it concerns one.</summary>
    [WolverinePost("/api/photographs")]
    [ProducesResponseType<PictureAnswered>(StatusCodes.Status201Created), Refuses(400)]
    public static async Task<IResult> Receive(string? concerns, HttpContext http, PictureDoor door, PhotographOptions options, IMessageBus bus)
    {
        if (!Named(concerns)) return Problems.Unreadable(NoParty);
        await using var arrived = await Arrived(http, options.MaxPictureBytes);
        var answer = await door.Receive(arrived, null, http.Request.ContentType, concerns, http.RequestAborted);
        if (answer.Accepted is not { } picture) return Problems.Unreadable(Of(answer.Refused!));
        await bus.PublishAsync(new MakeThumbnails(picture.Released.Hex));
        return Results.Json(
            new PictureAnswered(picture.Released.Base64Url, picture.Original.Base64Url, picture.Width, picture.Height, picture.Stated.Device, picture.Stated.Taken?.ToString()),
            JsonText.Options, statusCode: StatusCodes.Status201Created);
    }

    /// <summary>Receives a document as the request's body. <c>concerns</c> names the party with whose key it goes, when it concerns one.</summary>
    [WolverinePost("/api/documents")]
    [ProducesResponseType<DocumentAnswered>(StatusCodes.Status201Created), Refuses(400)]
    public static async Task<IResult> ReceiveDocument(string? concerns, HttpContext http, DocumentDoor door, PhotographOptions options)
    {
        if (!Named(concerns)) return Problems.Unreadable(NoParty);
        await using var arrived = await Arrived(http, options.MaxDocumentBytes);
        var answer = await door.Receive(arrived, null, http.Request.ContentType, concerns, http.RequestAborted);
        return answer.Accepted is { } document
            ? Results.Json(new DocumentAnswered(document.Hash.Base64Url, document.Length), JsonText.Options, statusCode: StatusCodes.Status201Created)
            : Problems.Unreadable(Of(answer.Refused!));
    }

    /// <summary>A small copy of a photograph, its longest side 160, 480 or 1200 pixels; made now if it is not there yet.</summary>
    [WolverineGet("/api/photographs/{hash}/{size}")]
    public static async Task<IResult> Small(string hash, int size, Thumbnails thumbnails, CancellationToken ct) =>
        Hash.TryParse(hash, out var parsed) && Thumbnails.Sizes.Contains(size)
            && await thumbnails.Make(ContentHash.FromDigest(parsed.ToArray()), size, ct) is { } path
            ? Results.File(path, "image/jpeg")
            : Problems.NotFound("photograph " + hash);

    /// <summary>The released copy of a photograph, without metadata.</summary>
    [WolverineGet("/api/photographs/{hash}")]
    public static async Task<IResult> Released(string hash, PictureStores stores, CancellationToken ct) =>
        Hash.TryParse(hash, out var parsed) && await stores.Released.Open(ContentHash.FromDigest(parsed.ToArray()), verify: true, ct) is { } stream
            ? Results.Stream(stream, "image/jpeg")
            : Problems.NotFound("photograph " + hash);

    /// <summary>The whole body, so that a slow connection holds no place at the decoder. One byte more than allowed is read, for the door to refuse.</summary>
    static async Task<Stream> Arrived(HttpContext http, long mostBytes)
    {
        if (http.Features.Get<IHttpMaxRequestBodySizeFeature>() is { IsReadOnly: false } limit) limit.MaxRequestBodySize = null;
        MemoryStream arrived = new();
        var buffer = new byte[81_920];
        for (int read; arrived.Length <= mostBytes && (read = await http.Request.Body.ReadAsync(buffer, http.RequestAborted)) > 0;) arrived.Write(buffer, 0, read);
        arrived.Position = 0;
        return arrived;
    }

    static bool Named(string? concerns) => concerns is null || (StreamName.TryParse(concerns, out var name) && name.Kind == "party");

    static Refusal NoParty => new("party-unreadable", "Whom the file concerns cannot be read.", "Give the name of a party's stream: party/ and 26 characters.");

    static Refusal Of(FileRefusal refusal) => new(refusal.Code, refusal.Sentence, refusal.Remedy);
}

/// <summary>Makes the small pictures in the background.</summary>
public static class MakeThumbnailsHandler
{
    public static Task Handle(MakeThumbnails asked, Thumbnails thumbnails, CancellationToken ct) => thumbnails.MakeAll(ContentHash.Parse(asked.ReleasedHex), ct);
}

/// <summary>Asks for the small pictures of a released copy. They are by-products: lost ones are made again when asked for.</summary>
public sealed record MakeThumbnails(string ReleasedHex);
