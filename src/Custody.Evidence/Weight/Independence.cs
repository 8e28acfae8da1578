namespace Custody.Evidence.Weight;

/// <summary>Copies of one picture, and pictures of one game, are one occasion.</summary>
public static class Independence
{
    /// <summary>For every source the earliest one it is linked with, by either link, however far. Links lead to earlier sources; one that leads
    /// nowhere is not followed.</summary>
    /// <remarks>Only independent roots count (ENFSI Guideline for Evaluative Reporting 2015: robustness of the data behind a ratio).</remarks>
    public static IReadOnlyDictionary<long, long> Roots(IEnumerable<(long Id, long? CopyOf, long? SameOccasion)> sources)
    {
        Dictionary<long, long> parent = [];
        long Root(long id)
        {
            while (parent[id] != id) id = parent[id] = parent[parent[id]];
            return id;
        }

        foreach (var (id, copyOf, sameOccasion) in sources.OrderBy(s => s.Id))
        {
            parent[id] = id;
            foreach (var linked in new[] { copyOf, sameOccasion }.OfType<long>().Where(parent.ContainsKey))
            {
                var (a, b) = (Root(id), Root(linked));
                parent[Math.Max(a, b)] = Math.Min(a, b);
            }
        }
        return parent.Keys.ToDictionary(id => id, Root);
    }

    /// <summary>Independent occasions: of each root, kind and player what the earliest source shows of each characteristic.</summary>
    internal static IReadOnlyList<Occasion> Occasions(IReadOnlyList<HabitSource> sources)
    {
        var roots = Roots(sources.Select(s => (s.Id, s.CopyOf, s.SameOccasion)));
        return
        [
            .. sources.GroupBy(s => (Root: roots[s.Id], s.Kind, s.Player)).OrderBy(g => g.Key.Root).ThenBy(g => g.Key.Kind).ThenBy(g => g.Key.Player)
                .Select(g => new Occasion(
                    g.Key.Root, g.Key.Kind, g.Key.Player, g.Select(s => s.When).FirstOrDefault(w => w is not null), [.. g.Select(s => s.Id).Order()],
                    g.OrderBy(s => s.Id).SelectMany(s => s.Seen).GroupBy(v => v.Key).ToDictionary(v => v.Key, v => v.First().Value))),
        ];
    }
}

/// <summary>One independent occasion of one kind and player.</summary>
sealed record Occasion(long Root, ObservedIn Kind, long Player, Edtf? When, IReadOnlyList<long> Sources, IReadOnlyDictionary<long, int> Seen);
