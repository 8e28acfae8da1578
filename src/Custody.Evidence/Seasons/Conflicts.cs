namespace Custody.Evidence;

/// <summary>
/// All minimal conflicting sets, by the hitting-set tree of Reiter (A theory of diagnosis from first principles, 1987): find one, then search
/// again without each of its members in turn. For single intervals pairs suffice (Helly); with several stints they do not, hence this.
/// </summary>
static class Conflicts
{
    /// <summary>Searches after which the list is handed out as incomplete.</summary>
    public const int MostSteps = 400;

    public static ConflictList Of(IReadOnlyList<Restraint> restraints, Func<IReadOnlyList<Restraint>, bool> agree)
    {
        if (agree(restraints))
            return new ConflictList([], true);
        var found = new List<List<Restraint>>();
        var seen = new HashSet<string>(StringComparer.Ordinal);
        var open = new Queue<List<Restraint>>([[.. restraints]]);
        var steps = 0;
        while (open.Count > 0 && steps < MostSteps)
        {
            var rest = open.Dequeue();
            if (!seen.Add(string.Join('\n', rest.Select(r => r.Id))) || agree(rest))
                continue;
            steps++;
            var conflict = found.Find(f => f.TrueForAll(rest.Contains)) ?? Shrink(rest, agree);
            if (!found.Contains(conflict))
                found.Add(conflict);
            foreach (var member in conflict)
                open.Enqueue([.. rest.Where(r => r != member)]);
        }
        return new ConflictList([.. found.Select(f => (IReadOnlyList<string>)[.. f.Select(r => r.Id)])
            .OrderBy(f => f.Count).ThenBy(f => string.Join('\n', f), StringComparer.Ordinal)], open.Count == 0);
    }

    /// <summary>Leaves out one member after another as long as the rest still conflict.</summary>
    static List<Restraint> Shrink(List<Restraint> conflicting, Func<IReadOnlyList<Restraint>, bool> agree)
    {
        var kept = conflicting;
        foreach (var member in conflicting)
        {
            var without = kept.Where(r => r != member).ToList();
            if (!agree(without))
                kept = without;
        }
        return kept;
    }
}
