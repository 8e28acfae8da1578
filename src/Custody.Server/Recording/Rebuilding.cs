using Marten;

namespace Custody.Server.Recording;

/// <summary>Makes every projection again from the entries' bytes. The result is the same bytes as live: projections take time and names from the
/// entries only.</summary>
public sealed class Rebuilding(IDocumentStore store, Finding.SearchIndex search)
{
    static readonly TimeSpan LongestShard = TimeSpan.FromHours(12);

    /// <param name="said">Told the name of each projection before it is rebuilt.</param>
    public async Task All(Action<string> said, CancellationToken ct)
    {
        using var daemon = await store.BuildProjectionDaemonAsync();
        foreach (var name in Names())
        {
            said(name);
            await daemon.RebuildProjectionAsync(name, LongestShard, ct);
        }
        said("search");
        await search.Rebuild(ct);
    }

    /// <summary>Every projection, ordinal order.</summary>
    public IReadOnlyList<string> Names() => [.. ((DocumentStore)store).Options.Projections.All.Select(p => p.Name).Order(StringComparer.Ordinal)];
}
