using System.Runtime.CompilerServices;
using Custody.Bats;
using Custody.Server.Recording;

namespace Custody.Server.Readings;

/// <summary>An opinion of some bat, computed again.</summary>
public sealed record RecomputedOnBat(NamedBat Bat, OpinionRecomputed Opinion);

/// <summary>Fetches the files and rubrics that opinions cite, and computes opinions again.</summary>
public sealed class RecomputeDesk(Histories histories)
{
    /// <summary>The streams that the opinions of a bat are computed from, with what the house may see: which bats a file shows.</summary>
    public Task<CitedStreams> Cited(Reading reading, CancellationToken ct) => Cited(CitedStreams.Named(reading), ct);

    /// <summary>The streams of these references.</summary>
    public async Task<CitedStreams> Cited(IEnumerable<Reference> references, CancellationToken ct)
    {
        Dictionary<StreamName, IReadOnlyList<Entry>> streams = [];
        foreach (var stream in references.Where(r => r.Ledger is null).Select(r => r.Stream).Distinct())
            if (stream.Kind is "habits" or "comparison" or "rubric") streams[stream] = await histories.Shown(stream, ct);
        return new CitedStreams(streams);
    }

    /// <summary>Every opinion given on any bat of the ledger, computed again from open fields alone: nothing of it needs a key.</summary>
    public async IAsyncEnumerable<RecomputedOnBat> All([EnumeratorCancellation] CancellationToken ct)
    {
        // Few files carry very many opinions: each is read once.
        Dictionary<StreamName, IReadOnlyList<Entry>> streams = [];
        foreach (var bat in await histories.All("bat", ct))
        {
            var history = History.Of(await histories.Open(bat, ct));
            if (!history.Entries.Any(e => e.Fact is IGivenOpinion)) continue;
            var reading = history.AsCorrected();
            foreach (var stream in CitedStreams.Named(reading).Where(r => r.Ledger is null).Select(r => r.Stream).Distinct())
                if (!streams.ContainsKey(stream)) streams[stream] = await histories.Open(stream, ct);
            foreach (var entry in history.Entries.Where(e => e.Fact is IGivenOpinion))
                yield return new(NamedBat.Of(reading), OpinionRecomputed.Of(history, entry.N, new CitedStreams(streams), today: false)!);
        }
    }
}
