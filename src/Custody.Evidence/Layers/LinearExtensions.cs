using System.Numerics;

namespace Custody.Evidence;

/// <summary>The orders a partial order permits.</summary>
static class LinearExtensions
{
    /// <summary>Down-sets looked at before counting is given up.</summary>
    public const int MostSets = 200_000;

    /// <summary>How many orders there are; null when a connected part has more down-sets than <see cref="MostSets"/>.</summary>
    public static BigInteger? Count(LayerGraph graph)
    {
        // Parts that nothing connects interleave freely: the count is a multinomial times the counts of the parts.
        var (orders, placed) = (BigInteger.One, 0);
        foreach (var part in Parts(graph))
        {
            if (CountOf(graph, part) is not { } count)
                return null;
            var size = BitOperations.PopCount(part);
            placed += size;
            orders *= count * Binomial(placed, size);
        }
        return orders;
    }

    static BigInteger? CountOf(LayerGraph graph, ulong part)
    {
        // Ways to reach each down-set, by size: each is reached from the sets that lack one of its uppermost layers.
        var ways = new Dictionary<ulong, BigInteger> { [0] = BigInteger.One };
        var looked = 1;
        for (var step = BitOperations.PopCount(part); step > 0; step--)
        {
            var next = new Dictionary<ulong, BigInteger>();
            foreach (var (set, count) in ways)
            {
                foreach (var layer in LayerGraph.Bits(part & ~set))
                {
                    if ((graph.Under[layer] & ~set) != 0)
                        continue;
                    var larger = set | 1UL << layer;
                    next[larger] = next.GetValueOrDefault(larger) + count;
                }
            }
            looked += next.Count;
            if (looked > MostSets)
                return null;
            ways = next;
        }
        return ways[part];
    }

    static IEnumerable<ulong> Parts(LayerGraph graph)
    {
        var rest = graph.Size == 64 ? ulong.MaxValue : (1UL << graph.Size) - 1;
        while (rest != 0)
        {
            var part = rest & (~rest + 1);
            for (var before = 0UL; before != part;)
            {
                before = part;
                for (var i = 0; i < graph.Size; i++)
                {
                    if ((part >> i & 1) == 1)
                        part |= graph.Under[i];
                    else if ((graph.Under[i] & part) != 0)
                        part |= 1UL << i;
                }
            }
            rest &= ~part;
            yield return part;
        }
    }

    static BigInteger Binomial(int n, int k)
    {
        var result = BigInteger.One;
        for (var i = 1; i <= k; i++)
            result = result * (n - k + i) / i;
        return result;
    }

    /// <summary>The orders, earlier listed layers first; as many as are asked for.</summary>
    public static IEnumerable<IReadOnlyList<string>> All(LayerGraph graph) => From(graph, 0, []);

    static IEnumerable<IReadOnlyList<string>> From(LayerGraph graph, ulong set, List<string> order)
    {
        if (order.Count == graph.Size)
        {
            yield return [.. order];
            yield break;
        }
        for (var layer = 0; layer < graph.Size; layer++)
        {
            if ((set >> layer & 1) == 1 || (graph.Under[layer] & ~set) != 0)
                continue;
            order.Add(graph.Name(layer));
            foreach (var full in From(graph, set | 1UL << layer, order))
                yield return full;
            order.RemoveAt(order.Count - 1);
        }
    }
}
