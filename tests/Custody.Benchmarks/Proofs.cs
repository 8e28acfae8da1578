using System.Diagnostics;
using System.Globalization;
using Custody.Server.Log;
using Custody.Transparency;

namespace Custody.Benchmarks;

/// <summary>Proofs that a leaf is in a large tree, read from real tiles on disk as the server does: a fresh reader for each, nothing kept between two. The tree
/// is built in bulk from made-up leaf hashes; what a proof costs depends on the size alone.</summary>
static class Proofs
{
    const int Asked = 10_000;
    const double GoalMs = 2;

    public static void Measure(Plan plan, Figures figures)
    {
        var folder = Directory.CreateTempSubdirectory("custody-benchmarks-tiles-");
        try
        {
            Write(folder.FullName, plan.Tree);
            TileFolder tiles = new(folder.FullName);
            List<(double Size, double Tiles)> reads = [];
            for (var size = 10_000L; size <= plan.Tree; size *= 10) reads.Add((size, ReadOf(tiles, size)));
            var milliseconds = Times(tiles, plan.Tree);
            figures.Note($"proof_ms_p50_{Short(plan.Tree)}", milliseconds[Asked / 2], "ms");
            figures.Below($"proof_ms_p99_{Short(plan.Tree)}", milliseconds[Asked * 99 / 100], "ms", GoalMs);
            foreach (var (size, count) in reads) figures.Note($"proof_tiles_{Short((long)size)}", count, "tiles read");
            // A reading that grew with the size itself would have exponent 1; the logarithm's is near 0.
            if (reads.Count > 1) figures.Below("proof_reads_exponent", Fit.Exponent(reads), "of size", 0.2);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    static double[] Times(TileFolder tiles, long size)
    {
        var root = Frontier.Read(size, tiles.Hashes(size)).Root();
        Random random = new(7);
        var times = new double[Asked];
        for (var i = -500; i < Asked; i++)
        {
            var index = random.NextInt64(size);
            var begun = Stopwatch.GetTimestamp();
            var proof = Merkle.InclusionProof(index, size, tiles.Hashes(size));
            if (i >= 0) times[i] = Stopwatch.GetElapsedTime(begun).TotalMilliseconds;
            // Speed counts only for proofs that lead to the root.
            if (!Merkle.VerifyInclusion(Leaf(index), index, size, proof, root)) throw new InvalidOperationException($"The proof of leaf {index} does not lead to the root.");
        }
        Array.Sort(times);
        return times;
    }

    static double ReadOf(TileFolder tiles, long size)
    {
        Random random = new(8);
        var read = 0;
        for (var i = 0; i < 200; i++)
            Merkle.InclusionProof(random.NextInt64(size), size, Tiles.Reader(size, tile => { read++; return tiles.Read(tile); }));
        return read / 200.0;
    }

    // Levels from below, each made of the roots of the full tiles under it.
    static void Write(string folder, long size)
    {
        var below = Enumerable.Range(0, checked((int)size)).Select(i => Leaf(i));
        for (var level = 0; ; level++)
        {
            List<Hash> roots = [];
            foreach (var (index, some) in below.Chunk(Tile.FullWidth).Index())
            {
                var bytes = new byte[some.Length * Hash.Size];
                for (var i = 0; i < some.Length; i++) some[i].CopyTo(bytes.AsSpan(i * Hash.Size));
                var path = Path.Combine(folder, new Tile(level, index, some.Length).Path);
                Directory.CreateDirectory(Path.GetDirectoryName(path)!);
                File.WriteAllBytes(path, bytes);
                if (some.Length == Tile.FullWidth) roots.Add(Tiles.RootOfFull(bytes));
            }
            if (roots.Count == 0) return;
            below = roots;
        }
    }

    static Hash Leaf(long index) => Hash.Of(BitConverter.GetBytes(index));

    static string Short(long size) => size % 1_000_000 == 0
        ? string.Create(CultureInfo.InvariantCulture, $"{size / 1_000_000}m")
        : string.Create(CultureInfo.InvariantCulture, $"{size / 1_000}k");
}
