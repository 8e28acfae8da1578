namespace Custody.Evidence;

/// <summary>Layers as a directed graph from lower to upper, places in the list standing for layers.</summary>
sealed class LayerGraph
{
    readonly IReadOnlyList<string> names;
    readonly Dictionary<string, int> at;
    readonly LayerConfidence?[,] strength;

    public LayerGraph(IReadOnlyList<string> names, IReadOnlyList<LaidOver> observations)
    {
        this.names = names;
        at = names.Select((n, i) => (n, i)).ToDictionary(p => p.n, p => p.i, StringComparer.Ordinal);
        Under = [.. names.Select(_ => 0UL)];
        strength = new LayerConfidence?[names.Count, names.Count];
        foreach (var o in observations)
        {
            Under[at[o.Over]] |= 1UL << at[o.Under];
            ref var known = ref strength[at[o.Under], at[o.Over]];
            known = known is null || o.Confidence > known ? o.Confidence : known;
        }
        Close();
    }

    /// <summary>Layers directly under each, as bits.</summary>
    public ulong[] Under { get; }

    public int Size => names.Count;

    public string Name(int layer) => names[layer];

    /// <summary>One order from earliest to latest, earlier listed first where free. Only without a circle.</summary>
    public IReadOnlyList<string> Topological => LinearExtensions.All(this).First();

    // Floyd and Warshall's scheme, with the weakest observation of a way as its strength and the strongest way kept.
    void Close()
    {
        for (var k = 0; k < Size; k++)
            for (var i = 0; i < Size; i++)
                for (var j = 0; j < Size; j++)
                {
                    if (strength[i, k] is not { } first || strength[k, j] is not { } second)
                        continue;
                    var way = first < second ? first : second;
                    if (strength[i, j] is null || way > strength[i, j])
                        strength[i, j] = way;
                }
    }

    /// <summary>How surely one came before the other; null when nothing says so.</summary>
    public LayerConfidence? Strength(string before, string after) => strength[at[before], at[after]];

    public bool IsBefore(int before, int after) => strength[before, after] is not null;

    /// <summary>The longest chain of layers under one.</summary>
    public int Level(string name) => Level(at[name]);

    int Level(int layer) => Bits(Under[layer]).Select(u => Level(u) + 1).DefaultIfEmpty(0).Max();

    /// <summary>A shortest circle by name, each over the next, the first one named again at the end; null when there is none.</summary>
    public IReadOnlyList<string>? Cycle() =>
        Enumerable.Range(0, Size).Where(i => IsBefore(i, i)).Select(CycleThrough).OrderBy(c => c.Count).FirstOrDefault();

    List<string> CycleThrough(int start)
    {
        // Breadth first downwards from the start until it is met again.
        var above = new Dictionary<int, int>();
        var queue = new Queue<int>([start]);
        while (queue.TryDequeue(out var layer))
        {
            foreach (var under in Bits(Under[layer]).Where(u => !above.ContainsKey(u)))
            {
                above[under] = layer;
                if (under == start)
                    return Back(above, start);
                queue.Enqueue(under);
            }
        }
        throw new InvalidOperationException("No circle goes through this layer.");
    }

    List<string> Back(Dictionary<int, int> above, int start)
    {
        var way = new List<string> { names[start] };
        for (var layer = above[start]; layer != start; layer = above[layer])
            way.Insert(0, names[layer]);
        way.Insert(0, names[start]);
        return way;
    }

    public static IEnumerable<int> Bits(ulong set)
    {
        for (; set != 0; set &= set - 1)
            yield return System.Numerics.BitOperations.TrailingZeroCount(set);
    }
}
