using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Readings;

/// <summary>A bat as one open examination may see it, with the entries that it may read.</summary>
public sealed record BlindBench(BlindView View, IReadOnlyList<EntryRead> Entries);

/// <summary>What a lot's text claims.</summary>
public sealed record CatalogueText(IReadOnlyList<CatalogueClaim> Claims) : IAsked;

/// <summary>What an opinion that is about to be given would rest on.</summary>
public sealed record OpinionPrepared(OpinionBasis Basis) : IAsked;

/// <summary>What is asked around opinions: the order in which examiners saw things, what an open examination may see, the review before regrading, and
/// what a lot's text may say. <c>id</c> and <c>recorded</c> as for the other readings.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Auditor, AccountRole.Owner)]
public static class OpinionEndpoints
{
    /// <summary>Every examination: in which order things were seen, and what that did to the findings, each with everything it ever read.</summary>
    [WolverineGet("/api/bats/{id}/examinations")]
    [ProducesResponseType<ExaminationOrder[]>(StatusCodes.Status200OK)]
    public static Task<IResult> Examinations(string id, string? recorded, ReadingDesk desk, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, r => r.Examined(), http);

    /// <summary>The bat as the examination begun by entry n may see it: opinions, sources, estimates and prices are held back until each is unmasked in turn.</summary>
    [WolverineGet("/api/bats/{id}/examinations/{n}/blind")]
    [ProducesResponseType<BlindBench>(StatusCodes.Status200OK)]
    public static Task<IResult> Blind(string id, long n, string? recorded, ReadingDesk desk, EntryBook book, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, async r => r.Blind(n) is not { } view ? null
            : new BlindBench(view, [.. (await book.Of(r, http.RequestAborted)).Where(e => view.Seen.Contains(e.N))]), http);

    /// <summary>All prior opinions side by side for whoever is to grade again: what each rested on, what has come since, agreement and conflict finding by finding.</summary>
    [WolverineGet("/api/bats/{id}/review")]
    [ProducesResponseType<RegradingReview>(StatusCodes.Status200OK)]
    public static Task<IResult> Review(string id, string? recorded, ReadingDesk desk, RecomputeDesk again, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, async r => r.Review(await again.Cited(r, http.RequestAborted)), http);

    /// <summary>Compute an opinion's numbers again from the ledger alone; with <c>today</c> also under today's files, with the causes of any difference in order.</summary>
    [WolverineGet("/api/bats/{id}/opinions/{n}/recompute")]
    [ProducesResponseType<OpinionRecomputed>(StatusCodes.Status200OK)]
    public static Task<IResult> Recompute(string id, long n, bool? today, string? recorded, ReadingDesk desk, RecomputeDesk again, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, async r => r.Recompute(n, await again.Cited(r, http.RequestAborted), today ?? false), http);

    /// <summary>Compute the numbers of an opinion that is about to be given: weights, seasons and grade, from what the record holds now. Nothing is recorded.</summary>
    [WolverinePost("/api/bats/{id}/prepare-opinion")]
    [ProducesResponseType<OpinionNumbers>(StatusCodes.Status200OK)]
    public static async Task<IResult> PrepareOpinion(string id, OpinionPrepared asked, ReadingDesk desk, RecomputeDesk again, HttpContext http)
    {
        if (await desk.HistoryOf(id, http.RequestAborted) is not { } history) return Problems.NoBat(id);
        http.Response.Headers.CacheControl = "no-store";
        return Results.Json(OpinionNumbers.Of(history.AsCorrected(), asked.Basis, await again.Cited(asked.Basis.Cites, http.RequestAborted)), JsonText.Options);
    }

    /// <summary>Check what a lot's text claims against the record: supported, not recorded or contradicted, each with the entry. Nothing is recorded.</summary>
    [WolverinePost("/api/bats/{id}/check-text")]
    [ProducesResponseType<CatalogueCheck>(StatusCodes.Status200OK)]
    public static async Task<IResult> CheckText(string id, CatalogueText text, ReadingDesk desk, HttpContext http)
    {
        if (await desk.HistoryOf(id, http.RequestAborted) is not { } history) return Problems.NoBat(id);
        var (check, refused) = CatalogueCheck.Of(history.AsCorrected(), text.Claims);
        if (check is null) return Problems.Unreadable(refused!);
        http.Response.Headers.CacheControl = "no-store";
        return Results.Json(check, JsonText.Options);
    }
}
