using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>Condition over time: what is new, gone or grown between two examinations of one bat. Common practice, with the tolerance stated.</summary>
public static class Condition
{
    /// <summary>Name and version of the method, to stand beside each result.</summary>
    public const string Method = "condition/1";

    /// <summary>
    /// Pairs findings of one kind whose places lie within the tolerance, nearest first, and says what became of each. Refuses
    /// <c>findings-contradict</c> (one examination says seen and absent of one kind at one place), <c>finding-twice</c> (one name twice in one
    /// examination) and <c>condition-tolerance</c> (negative).
    /// </summary>
    public static bool TryCompare(IReadOnlyList<PlacedFinding> earlier, IReadOnlyList<PlacedFinding> later, SpotTolerance tolerance,
        [NotNullWhen(true)] out SurfaceDifference? difference, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        difference = null;
        refusal = tolerance.Inches.Sign < 0 || tolerance.Degrees.Sign < 0
            ? new("condition-tolerance", "A tolerance is negative.", "Give inches and degrees of 0 or more.")
            : Refusal(earlier) ?? Refusal(later);
        if (refusal is not null)
            return false;
        var near = new Nearness(tolerance);
        var pairs = Pairs(earlier, later, near);
        var changes = pairs.Select(p => near.Between(p.Earlier, p.Later))
            .Concat(Alone(earlier, pairs.Select(p => p.Earlier), later, ChangeKind.Gone, near))
            .Concat(Alone(later, pairs.Select(p => p.Later), earlier, ChangeKind.New, near));
        difference = new SurfaceDifference(Method, tolerance, [.. changes.OrderBy(c => Rank(c.Change)).ThenBy(c => c.Kind, StringComparer.Ordinal)
            .ThenBy(c => c.Later ?? c.Earlier, StringComparer.Ordinal)]);
        return true;
    }

    /// <summary>Whether one examination contradicts itself; refuses as <see cref="TryCompare"/>.</summary>
    public static EvidenceRefusal? Refusal(IReadOnlyList<PlacedFinding> findings)
    {
        if (findings.DistinctBy(f => f.Id, StringComparer.Ordinal).Count() != findings.Count)
            return new("finding-twice", "Two findings of one examination have one name.", "Name each finding once.");
        foreach (var seen in findings.Where(f => f.State == FindingState.Seen))
        {
            if (findings.FirstOrDefault(f => f.State == FindingState.Absent && IsSame(f.Kind, seen.Kind) && Inside(seen.Place, f.Place)) is { } absent)
                return new("findings-contradict", $"{seen.Id} says that it is there and {absent.Id} that it is not, of one kind at one place.",
                    "Keep one of them, or place them apart.");
        }
        return null;
    }

    static int Rank(ChangeKind change) => change switch
    {
        ChangeKind.New => 0,
        ChangeKind.Grown => 1,
        ChangeKind.Gone => 2,
        ChangeKind.Shrunk => 3,
        ChangeKind.NotComparable => 4,
        _ => 5,
    };

    static List<(PlacedFinding Earlier, PlacedFinding Later)> Pairs(IReadOnlyList<PlacedFinding> earlier, IReadOnlyList<PlacedFinding> later, Nearness near)
    {
        var candidates = earlier.Where(f => f.State == FindingState.Seen)
            .SelectMany(a => later.Where(b => b.State == FindingState.Seen && IsSame(a.Kind, b.Kind)).Select(b => (a, b, Distance: near.Distance(a.Place, b.Place))))
            .Where(c => c.Distance is not null)
            .OrderBy(c => c.Distance).ThenBy(c => c.a.Id, StringComparer.Ordinal).ThenBy(c => c.b.Id, StringComparer.Ordinal);
        var pairs = new List<(PlacedFinding, PlacedFinding)>();
        var taken = new HashSet<PlacedFinding>(ReferenceEqualityComparer.Instance);
        foreach (var (a, b, _) in candidates)
        {
            if (taken.Contains(a) || taken.Contains(b))
                continue;
            taken.UnionWith([a, b]);
            pairs.Add((a, b));
        }
        return pairs;
    }

    /// <summary>Findings of one side that no finding of the other answers.</summary>
    static IEnumerable<SurfaceChange> Alone(IReadOnlyList<PlacedFinding> side, IEnumerable<PlacedFinding> paired, IReadOnlyList<PlacedFinding> other,
        ChangeKind change, Nearness near)
    {
        var answered = paired.ToHashSet(ReferenceEqualityComparer.Instance);
        foreach (var finding in side.Where(f => f.State == FindingState.Seen && !answered.Contains(f)))
        {
            var about = other.Where(f => IsSame(f.Kind, finding.Kind) && near.Covers(f.Place, finding.Place)).ToList();
            var absent = about.Exists(f => f.State == FindingState.Absent);
            // Seen twice without a place once: nobody can say whether it is the same one.
            var unclear = !absent && (about.Exists(f => f.State == FindingState.NotAssessable)
                || other.Any(f => f.State == FindingState.Seen && IsSame(f.Kind, finding.Kind) && (f.Place is null) != (finding.Place is null)));
            yield return new SurfaceChange(unclear ? ChangeKind.NotComparable : change, finding.Kind, change == ChangeKind.Gone ? finding.Id : null,
                change == ChangeKind.New ? finding.Id : null, absent ? Certainty.Certain : Certainty.Possible, null, null, true);
        }
    }

    static bool IsSame(string a, string b) => string.Equals(a, b, StringComparison.Ordinal);

    /// <summary>Whether what is said of <paramref name="area"/> is said of the whole of <paramref name="place"/>; an area of null is the whole bat.</summary>
    static bool Inside(Spot? place, Spot? area) =>
        area is null ? place is null
        : place is not null && place.From >= area.From - SurfaceMap.Coarse && place.To <= area.To + SurfaceMap.Coarse
            && Round.Shared(place, area) is { } shared && shared >= 0 && shared >= place.Span - SurfaceMap.Coarse;
}

/// <summary>What counts as one place, and how far two places of one thing differ.</summary>
sealed class Nearness(SpotTolerance tolerance)
{
    readonly double inches = tolerance.Inches.ToDouble() + SurfaceMap.Coarse;
    readonly double degrees = tolerance.Degrees.ToDouble() + SurfaceMap.Coarse;

    /// <summary>How far apart in tolerances, at most 2; null when further, or when only one is placed.</summary>
    public double? Distance(Spot? a, Spot? b)
    {
        if (a is null || b is null)
            return a is null && b is null ? 2 : null;
        var along = Math.Max(0, Math.Max(a.From, b.From) - Math.Min(a.To, b.To));
        var round = Round.Apart(a, b) ?? 0;
        return along <= inches && round <= degrees ? along / inches + round / degrees : null;
    }

    /// <summary>Whether what was said about one place bears on another; a place of null is the whole bat.</summary>
    public bool Covers(Spot? said, Spot? place) => said is null || (place is not null && Distance(said, place) is not null);

    /// <summary>What became of a thing seen both times.</summary>
    public SurfaceChange Between(PlacedFinding earlier, PlacedFinding later)
    {
        var (a, b) = (earlier.Place, later.Place);
        var along = a is null || b is null ? (double?)null : b.To - b.From - (a.To - a.From);
        var compared = a is null || b is null || Round.Shared(a, b) is not null;
        var round = a is null || b is null || !compared ? (double?)null : b.Span - a.Span;
        var measured = Measured(earlier.Measure, later.Measure);
        var grown = along > inches || round > degrees || Further(a, b) || measured > 0;
        var shrunk = along < -inches || round < -degrees || measured < 0;
        return new SurfaceChange(grown ? ChangeKind.Grown : shrunk ? ChangeKind.Shrunk : ChangeKind.Same, earlier.Kind, earlier.Id, later.Id, Certainty.Certain,
            along is null ? null : DecimalText.Computed(along.Value, 2), round is null ? null : DecimalText.Computed(round.Value, 1), compared);
    }

    // A crack as long as before that ends further along has moved, and wood does not move: it grew at one end and was read shorter at the other.
    bool Further(Spot? a, Spot? b) => a is not null && b is not null && (b.To > a.To + inches || b.From < a.From - inches);

    // A length may be read a tolerance off; a count may not.
    int Measured(Quantity? earlier, Quantity? later)
    {
        if (earlier is null || later is null || earlier.Unit.Dimension != later.Unit.Dimension)
            return 0;
        var apart = later.InBase().ToDouble() - earlier.InBase().ToDouble();
        var allowed = earlier.Unit.Dimension == Dimension.Length ? inches * 25.4 : earlier.Unit.Dimension == Dimension.Angle ? degrees : 0;
        return apart > allowed ? 1 : apart < -allowed ? -1 : 0;
    }
}
