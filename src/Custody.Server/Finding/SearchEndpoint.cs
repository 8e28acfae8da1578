using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Marten;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Finding;

/// <summary>A bat in which every word asked for occurs.</summary>
public sealed record FoundBat(string Stream, string ShortNumber);

/// <summary>What was found: bats, and the names of other streams.</summary>
public sealed record Found(IReadOnlyList<FoundBat> Bats, IReadOnlyList<string> Others);

[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Auditor)]
public static class SearchEndpoint
{
    /// <summary>Searches everything recorded, names and texts included, for whole words.</summary>
    [WolverineGet("/api/search")]
    [ProducesResponseType<Found>(StatusCodes.Status200OK)]
    public static async Task<IResult> Get(string? q, SearchIndex index, IDocumentStore store, CancellationToken ct)
    {
        if (string.IsNullOrWhiteSpace(q) || q.Length > 200)
            return Problems.Unreadable(new("search-unreadable", "There is nothing to search for.", "Give one to eight whole words, 200 characters at most."));
        var found = await index.Find(q, ct);
        await using var session = store.QuerySession();
        var bats = await session.LoadManyAsync<Bat>(ct, found.Where(s => s.Kind == "bat").Select(s => s.ToString()));
        return Results.Json(
            new Found(
                [.. bats.Select(b => new FoundBat(b.Id, b.Registration!.ShortNumber)).OrderBy(b => b.Stream, StringComparer.Ordinal)],
                [.. found.Where(s => s.Kind != "bat").Select(s => s.ToString())]),
            JsonText.Options);
    }
}
