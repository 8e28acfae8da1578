namespace Custody.Evidence;

/// <summary>
/// All minimal conflicting sets, by the hitting-set tree of Reiter (A theory of diagnosis from first principles, 1987): find one, then search
/// again without each of its members in turn. Each is found by halving (QuickXplain: Junker 2004; from memory). For single intervals pairs suffice
/// (Helly); with several stints they do not, hence this.
/// </summary>
static class Conflicts
{
    /// <summary>Searches after which the list is handed out as incomplete.</summary>
    public const int MostSteps = 400;

    /// <param name="restraints">At most <see cref="Timeline.MostRestraints"/>; sets of them are kept as bits.</param>
    /// <param name="season">Days of use asked for; null for any.</param>
    public static ConflictList Of(Timeline restraints, DaySet? season)
    {
        var found = new List<UInt128>();
        var seen = new HashSet<UInt128>();
        var open = new Queue<UInt128>([restraints.All]);
        var steps = 0;
        while (open.Count > 0 && steps < MostSteps)
        {
            var rest = open.Dequeue();
            if (!seen.Add(rest))
                continue;
            // A set already known that is still whole here needs no computing: most of the tree is that.
            var conflict = found.Find(f => (f & ~rest) == 0);
            if (conflict == 0)
            {
                if (restraints.Agree(rest, season))
                    continue;
                conflict = Smallest(restraints, season, 0, false, Members(rest));
                found.Add(conflict);
            }
            steps++;
            foreach (var member in Members(conflict))
                open.Enqueue(rest & ~(UInt128.One << member));
        }
        return new ConflictList([.. found.Select(f => (IReadOnlyList<string>)[.. Members(f).Select(restraints.IdOf)])
            .OrderBy(f => f.Count).ThenBy(f => string.Join('\n', f), StringComparer.Ordinal)], open.Count == 0);
    }

    static UInt128 Smallest(Timeline restraints, DaySet? season, UInt128 kept, bool grown, ReadOnlySpan<int> candidates)
    {
        if (grown && !restraints.Agree(kept, season))
            return 0;
        if (candidates.Length == 1)
            return UInt128.One << candidates[0];
        var first = candidates[..(candidates.Length / 2)];
        var second = candidates[(candidates.Length / 2)..];
        var ofSecond = Smallest(restraints, season, kept | Bits(first), true, second);
        return ofSecond | Smallest(restraints, season, kept | ofSecond, ofSecond != 0, first);
    }

    static UInt128 Bits(ReadOnlySpan<int> members)
    {
        UInt128 bits = 0;
        foreach (var member in members)
            bits |= UInt128.One << member;
        return bits;
    }

    static int[] Members(UInt128 set)
    {
        var members = new int[(int)UInt128.PopCount(set)];
        for (var i = 0; set != 0; set &= set - 1)
            members[i++] = (int)UInt128.TrailingZeroCount(set);
        return members;
    }
}
