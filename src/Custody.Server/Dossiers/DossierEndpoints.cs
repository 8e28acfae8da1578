using System.Text;
using System.Text.Json;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Dossiers;

/// <summary>What an owner chooses to show.</summary>
/// <param name="Reveal">Withheld values to show, each by its path, or by a field's name in every entry; <c>all</c> for all.</param>
/// <param name="For">Whom it is for; withheld.</param>
public sealed record DossierAsked(IReadOnlyList<string> Reveal, string? For) : IAsked;

/// <summary>A withheld value as its owner is asked about it.</summary>
/// <param name="Path">How it is named in <c>reveal</c>.</param>
/// <param name="Happened">What the entry says happened, in words.</param>
/// <param name="Chosen">Whether the reader would see it.</param>
public sealed record FieldAnswered(string Path, long Entry, string Happened, string Field, string Value, bool Chosen)
{
    internal static FieldAnswered Of(WithheldField field) =>
        new(field.Place.Path, field.Place.N, field.Happened, field.Field, field.Value, field.Chosen);
}

/// <summary>Exactly what the reader would see.</summary>
/// <param name="Page">The file <c>history.html</c>.</param>
/// <param name="Summary">The file <c>summary.json</c>.</param>
/// <param name="Disclosures">The file <c>disclosures.json</c>.</param>
/// <param name="Photographs">Pictures in it, by path.</param>
/// <param name="Documents">Papers in it, by path.</param>
public sealed record PreviewAnswered(
    IReadOnlyList<FieldAnswered> Fields, string Page, JsonElement Summary, JsonElement Disclosures, IReadOnlyList<string> Photographs, IReadOnlyList<string> Documents);

/// <summary>Choosing what a dossier shows. <c>id</c> is a short number or a stream's identifier.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Owner)]
public static class DossierEndpoints
{
    /// <summary>Every withheld value of the bat that can be shown or kept back.</summary>
    [WolverineGet("/api/bats/{id}/withheld")]
    [ProducesResponseType<FieldAnswered[]>(StatusCodes.Status200OK)]
    public static Task<IResult> Withheld(string id, BatFinder bats, DossierDesk desk, HttpContext http) =>
        For(id, bats, http, async bat => Json(http, (await desk.Fields(bat, http.RequestAborted)).Select(FieldAnswered.Of).ToList()));

    /// <summary>Exactly what the reader of a dossier with these values would see. Nothing is recorded.</summary>
    [WolverinePost("/api/bats/{id}/dossier-preview")]
    [ProducesResponseType<PreviewAnswered>(StatusCodes.Status200OK), Refuses(400, 404, 422, 503)]
    public static Task<IResult> Preview(string id, DossierAsked asked, BatFinder bats, DossierDesk desk, HttpContext http) => For(id, bats, http, async bat =>
    {
        var (done, refused) = await desk.Preview(bat, Reveal.Parse(asked.Reveal), EarlierHistories.None, http.RequestAborted);
        return done is null ? Problems.Refused([refused!]) : Json(http, Of(done));
    });

    /// <summary>The dossier itself. That it was handed out is recorded, on a stream of its own.</summary>
    [WolverinePost("/api/bats/{id}/dossier")]
    [ProducesResponseType<FileResult>(StatusCodes.Status200OK), Refuses(400, 404, 422, 503)]
    public static Task<IResult> Dossier(string id, DossierAsked asked, BatFinder bats, DossierDesk desk, LedgerPlace place, HttpContext http) => For(id, bats, http, async bat =>
    {
        // What is shown stands in this file in plain: it is the owner's alone and goes as soon as it is sent.
        var folder = HandingOut.NewFolder(place);
        http.Response.OnCompleted(() => HandingOut.Forget(folder));
        var (done, refused) = await desk.Write(bat, Reveal.Parse(asked.Reveal), EarlierHistories.None, folder, asked.For, PartyId.Ledger, http.RequestAborted);
        if (done is null) return Problems.Refused([refused!]);
        http.Response.Headers.CacheControl = "no-store";
        return Results.File(done.Path, "application/zip", Path.GetFileName(done.Path));
    });

    static async Task<IResult> For(string id, BatFinder bats, HttpContext http, Func<Bat, Task<IResult>> answer)
    {
        if (await bats.Find(id, http.RequestAborted) is not { } bat) return Problems.NoBat(id);
        try
        {
            return await answer(bat);
        }
        catch (LogFault fault)
        {
            return Problems.NotNow(new(fault.Code, fault.Message, "Try again shortly; if it stays so, see /health."));
        }
    }

    static PreviewAnswered Of(DossierDesk.Previewed done) => new(
        [.. done.Fields.Select(FieldAnswered.Of)], Encoding.UTF8.GetString(done.Seen.Page.Span), Element(done.Seen.Summary), Element(done.Seen.Disclosures),
        done.Seen.Photographs, done.Seen.Documents);

    static JsonElement Element(ReadOnlyMemory<byte> json)
    {
        using var document = JsonDocument.Parse(json);
        return document.RootElement.Clone();
    }

    static IResult Json<T>(HttpContext http, T answer)
    {
        // Names are in it: nothing on the way keeps a copy.
        http.Response.Headers.CacheControl = "no-store";
        return Results.Json(answer, JsonText.Options);
    }
}
