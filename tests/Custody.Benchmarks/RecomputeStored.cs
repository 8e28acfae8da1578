using Custody.Bats;
using Custody.Ledger.Tests;

namespace Custody.Benchmarks;

/// <summary>Every opinion of a stored ledger computed again, as <c>recompute --all</c> does it: each bat read from PostgreSQL, decoded, folded, dated, weighed,
/// graded and compared. In a process of its own, so that its memory is what recomputing needs.</summary>
static class RecomputeStored
{
    public static async Task Measure(Bench bench, int opinions, Figures figures, CancellationToken ct)
    {
        await Load(bench, opinions, ct);
        var told = await OwnProcess.Start(OwnProcess.Recompute, bench.Place, ct);
        if (told.Done != opinions) throw new InvalidOperationException($"{told.Done} opinions of {opinions} were computed again.");
        figures.Note("recompute_stored_opinions", told.Done, "opinions");
        figures.Note("recompute_stored_s", told.Seconds, "s");
        figures.Note("recompute_stored_own_cpu_s", told.CpuSeconds, "s");
        figures.AtLeast("recompute_stored_per_min", told.Done / told.Seconds * 60, "opinions", RecomputeBench.Goal);
        figures.Note("recompute_stored_peak_mb", told.PeakMb, "MB");
    }

    static async Task Load(Bench bench, int opinions, CancellationToken ct)
    {
        using TestLedger ledger = new(bench.Place.Origin);
        Dictionary<StreamName, IReadOnlyList<byte[]>> cited = [];
        var bats = RecomputeBench.Bats(ledger, cited, opinions);
        await BulkLoad.Put(bench, [.. cited.Select(c => (c.Key, c.Value.Count))], cited.SelectMany(c => Entries(c.Key, c.Value)), ct);
        foreach (var some in bats.Chunk(1_000))
            await BulkLoad.Put(bench, [.. some.Select(b => (b.Name, b.Lines.Count))], some.SelectMany(b => Entries(b.Name, [.. b.Lines.Select(l => l.Bytes)])), ct);
    }

    static IEnumerable<BulkEntry> Entries(StreamName stream, IReadOnlyList<byte[]> lines) => lines.Select((bytes, i) => new BulkEntry(stream, i + 1, bytes));
}
