using Custody.Bats;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Finding;

/// <summary>Streams in which every word asked for occurs.</summary>
public sealed record Found(IReadOnlyList<string> Bats, IReadOnlyList<string> Others);

public static class SearchEndpoint
{
    /// <summary>Searches everything recorded, names and texts included, for whole words.</summary>
    [WolverineGet("/api/search")]
    public static async Task<IResult> Get(string? q, SearchIndex index, CancellationToken ct)
    {
        if (string.IsNullOrWhiteSpace(q) || q.Length > 200)
            return Problems.Unreadable(new("search-unreadable", "There is nothing to search for.", "Give one to eight whole words, 200 characters at most."));
        var found = await index.Find(q, ct);
        return Results.Json(
            new Found([.. found.Where(s => s.Kind == "bat").Select(s => s.ToString())], [.. found.Where(s => s.Kind != "bat").Select(s => s.ToString())]), JsonText.Options);
    }
}
