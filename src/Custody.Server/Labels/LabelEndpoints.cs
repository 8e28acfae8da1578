using System.Text;
using Custody.Bats;
using Custody.Evidence.Text;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Challenges;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Web;
using Custody.Transparency;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.AspNetCore.Routing;
using Wolverine.Http;

namespace Custody.Server.Labels;

/// <summary>The pages behind a label's address, for anybody: no account, no script, no cookie, nothing from elsewhere, and nothing written down.</summary>
[ExcludeFromDescription]
[Anybody]
public static class LabelEndpoints
{
    const int LargestForm = 64 * 1024;

    /// <summary>The page of the label with these characters.</summary>
    [WolverineGet("/L/{token}")]
    public static Task<IResult> Page(string token, LabelPages pages, HttpContext http) =>
        Of(token, pages, http, view => Task.FromResult(Html(http, LabelPage.Write(view))));

    /// <summary>The label's page, with how far the ledger has gone on from a dossier. The form's <c>head</c> is the text of the dossier's file data/head.</summary>
    [WolverinePost("/L/{token}/dossier")]
    public static Task<IResult> Dossier(string token, LabelPages pages, LogDesk log, HttpContext http) =>
        Of(token, pages, http, async view => Html(http, LabelPage.Write(view, await HeadCompared.Say(await Field(http, "head"), view.Origin, view.Reading.State.Id, log, http.RequestAborted))));

    /// <summary>A challenge for whoever shows the bat. The form's <c>words</c> are the asker's own.</summary>
    [WolverinePost("/L/{token}/challenge")]
    public static Task<IResult> Challenge(string token, LabelPages pages, BatFinder bats, ChallengeDesk desk, HttpContext http) => Of(token, pages, http, async view =>
    {
        var said = await Field(http, "words") ?? "";
        if (!TextAtTheDoor.Check(said, HolderChallenge.LongestWords, out var words, out var unfit)) return Html(http, ChallengePage.Refused(unfit.Sentence, unfit.Remedy, view.Origin), 400);
        var (made, refused) = await desk.Ask((await bats.Find(view.Reading.State.Id, http.RequestAborted))!, words, http.RequestAborted);
        return made is null
            ? Html(http, ChallengePage.Refused(refused!.Sentence, refused.Remedy, view.Origin), 400)
            : Html(http, ChallengePage.Made(made.Code, words, view.Reading.State.Registration!.ShortNumber, view.Origin, made.Challenge.Expires));
    });

    /// <summary>How a challenge stands, for whoever has its code.</summary>
    [WolverineGet("/challenge/{code}")]
    public static async Task<IResult> Challenged(string code, ChallengeDesk desk, BatFinder bats, LedgerName ledger, HttpContext http) =>
        await desk.Look(code, http.RequestAborted) is { } challenge && await bats.Find(challenge.Bat.ToString(), http.RequestAborted) is { Registration: { } bat }
            ? Html(http, ChallengePage.Stands(challenge, bat.ShortNumber, ledger.Origin, desk.Now))
            : Html(http, ChallengePage.Refused("No challenge has this code.", "Read the code again, or ask for a new challenge.", ledger.Origin), 404);

    static async Task<IResult> Of(string token, LabelPages pages, HttpContext http, Func<LabelView, Task<IResult>> answer)
    {
        var origin = http.RequestServices.GetRequiredService<LedgerName>().Origin;
        if (!Crockford.TryDecode(token, out var bits)) return Html(http, LabelPage.Unreadable(origin), 400);
        return await pages.Find(bits, http.RequestAborted) switch
        {
            { Found: { } view } => await answer(view),
            { Twice: true } => Html(http, LabelPage.Twice(Crockford.Encode(bits), origin), 500),
            _ => Html(http, LabelPage.Unknown(Crockford.Encode(bits), origin), 404),
        };
    }

    /// <summary>A field of the form, as text or as a small file; null when there is none, or the form cannot be read.</summary>
    static async Task<string?> Field(HttpContext http, string name)
    {
        if (http.Features.Get<IHttpMaxRequestBodySizeFeature>() is { IsReadOnly: false } limit) limit.MaxRequestBodySize = LargestForm;
        if (!http.Request.HasFormContentType) return null;
        try
        {
            var form = await http.Request.ReadFormAsync(new FormOptions { ValueCountLimit = 8, BufferBodyLengthLimit = LargestForm, MultipartBodyLengthLimit = LargestForm }, http.RequestAborted);
            if (form[name].ToString() is { Length: > 0 } text) return text;
            if (form.Files.GetFile("file") is not { Length: > 0 } file) return null;
            using StreamReader reader = new(file.OpenReadStream(), Encoding.UTF8);
            return await reader.ReadToEndAsync(http.RequestAborted);
        }
        catch (Exception unread) when (unread is InvalidDataException or BadHttpRequestException or IOException)
        {
            return null; // said on the page as nothing given
        }
    }

    static IResult Html(HttpContext http, string page, int status = StatusCodes.Status200OK)
    {
        var headers = http.Response.Headers;
        headers.ContentSecurityPolicy = PlainPage.ContentSecurityPolicy;
        headers["Referrer-Policy"] = "no-referrer";
        headers.XContentTypeOptions = "nosniff";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Permissions-Policy"] = "browsing-topics=()";
        // A label's standing is of the moment, and what was looked at is nobody's business on a shared telephone.
        headers.CacheControl = "no-store";
        return Results.Content(page, "text/html; charset=utf-8", Encoding.UTF8, status);
    }
}
