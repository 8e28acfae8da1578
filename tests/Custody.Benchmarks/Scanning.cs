using System.Diagnostics;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Benchmarks;

/// <summary>Check 13's pass over a public log: every record hashed up to the root, a bat's places looked for. Without the time of fetching.</summary>
static class Scanning
{
    sealed class Served(byte[][] bundles) : IPublicLog
    {
        public ReadOnlyMemory<byte> Checkpoint() => default;

        public IEnumerable<ReadOnlyMemory<byte>> Read(IEnumerable<Tile> tiles) => tiles.Select(t => (ReadOnlyMemory<byte>)bundles[t.Index]);
    }

    public static void Measure(Plan plan, Figures figures)
    {
        var records = Enumerable.Range(0, plan.Leaves).Select(i => Hash.Of(BitConverter.GetBytes(i))).Select(h => new LogRecord(h, Hash.Of(h.ToArray()))).ToArray();
        var bundles = records.Chunk(Tile.FullWidth).Select(c => EntryBundle.Write(c)).ToArray();
        Frontier tree = new();
        foreach (var record in records) tree.Append(record.Leaf());
        Checkpoint at = new("ledger.example", plan.Leaves, tree.Root());
        double Rate()
        {
            SlotWatch watch = new("ledger.example");
            watch.Follow("bat/00000000000000000000000000", 0);
            var clock = Stopwatch.StartNew();
            LogPass.Over(new Served(bundles), at, new Frontier(), [], watch.See);
            return plan.Leaves / clock.Elapsed.TotalSeconds;
        }
        Rate(); // its code is compiled
        figures.AtLeast("scan_records_per_s", Enumerable.Range(0, 3).Max(_ => Rate()), "records/s", 200_000);
    }
}
