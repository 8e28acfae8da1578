using System.Globalization;

namespace Custody.Ledger;

/// <summary>What trees that others timed say of the moment at which an entry came into the log.</summary>
sealed class TimeBounds
{
    readonly List<TimedTree> trees;
    readonly DateTimeOffset?[] newest; // latest time at which a tree among the first k was the newest one
    readonly DateTimeOffset?[] earliest; // earliest time of any tree from the k-th on

    /// <param name="timed">Trees whose times the reader trusts.</param>
    internal TimeBounds(IEnumerable<TimedTree> timed)
    {
        trees = [.. timed.OrderBy(t => t.Size)];
        (newest, earliest) = (new DateTimeOffset?[trees.Count + 1], new DateTimeOffset?[trees.Count + 1]);
        for (var k = 0; k < trees.Count; k++) newest[k + 1] = trees[k].IsNewest && !(newest[k] > trees[k].Time) ? trees[k].Time : newest[k];
        for (var k = trees.Count - 1; k >= 0; k--) earliest[k] = earliest[k + 1] < trees[k].Time ? earliest[k + 1] : trees[k].Time;
    }

    internal bool IsEmpty => trees.Count == 0;

    /// <summary>When the newest tree still lacked this entry, on the word of somebody who goes from tree to tree; null when nobody says so.</summary>
    internal DateTimeOffset? LackedAt(long index) => newest[Without(index)];

    /// <summary>When a tree held this entry at the latest; null when nobody says so.</summary>
    internal DateTimeOffset? HeldAt(long index) => earliest[Without(index)];

    /// <summary>When somebody had seen a tree that lacks the entry, not after this time by more than the slack.</summary>
    internal DateTimeOffset? LackedBefore(long index, DateTimeOffset time, TimeSpan slack)
    {
        for (var k = Without(index) - 1; k >= 0; k--)
            if (trees[k].Time - time <= slack) return trees[k].Time;
        return null;
    }

    /// <summary>How many of the trees, in ascending size, lack the entry at this index.</summary>
    int Without(long index)
    {
        var (low, high) = (0, trees.Count);
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (trees[middle].Size <= index) low = middle + 1;
            else high = middle;
        }
        return low;
    }

    /// <summary>A span in words, rounded up.</summary>
    internal static string Told(TimeSpan span) => Math.Ceiling(span.TotalHours) switch
    {
        <= 1 => "1 hour",
        <= 48 and var hours => string.Create(CultureInfo.InvariantCulture, $"{hours} hours"),
        _ => string.Create(CultureInfo.InvariantCulture, $"{Math.Ceiling(span.TotalDays)} days"),
    };
}
