using Custody.Evidence;

namespace Custody.Bats;

/// <summary>One pair of propositions weighed. Log10 of the weight and its 90 % interval, unit 1: as the examiner states them, or computed.</summary>
/// <param name="Weight">Log10 of the likelihood ratio; null when only words are given.</param>
/// <param name="Low">Lower end of the interval.</param>
/// <param name="High">Upper end of the interval.</param>
public sealed record Weighing(
    PropositionLevel Level, Alternative Against, SupportFor For, SupportWord Word, NumberMethod? Method, Quantity? Weight, Quantity? Low,
    Quantity? High) : IPart
{
    static readonly Alternative[] AlwaysOnThePage = [Alternative.UsedByAnotherProfessional, Alternative.PreparedLater];

    /// <summary>What is wrong with the pairs of an opinion.</summary>
    /// <param name="computedHere">The opinion carries what numbers are computed from, so that it may say they were.</param>
    internal static IEnumerable<Refusal> Refuse(IReadOnlyList<Weighing> pairs, bool computedHere)
    {
        if (pairs.Count == 0) yield return new("no-propositions", "The opinion weighs nothing.", "Weigh at least one pair of propositions.");
        if (pairs.DistinctBy(w => (w.Level, w.Against)).Count() != pairs.Count)
            yield return new("pair-weighed-twice", "One pair of propositions stands twice.", "Weigh each pair once.");
        // Whoever proposes a player has to face both: another professional's bat, and one prepared to look like his.
        foreach (var level in new[] { PropositionLevel.UsedByHim, PropositionLevel.OnThisOccasion })
        {
            var against = pairs.Where(w => w.Level == level).Select(w => w.Against).ToHashSet();
            if (against.Count > 0 && !AlwaysOnThePage.All(against.Contains))
                yield return new("alternative-missing", "A proposition about the player lacks one of its two alternatives.",
                    "Weigh it against another professional's use and against later preparation.");
        }
        if (pairs.Any(w => w.Method is { } method && method != NumberMethod.Stated && !(computedHere && method == NumberMethod.Weight1)))
            yield return new("computed-without-inputs", "A weight is said to be computed, and nothing says from what.",
                "State it as the examiner's, or give what it is computed from.");
        foreach (var refusal in pairs.SelectMany(w => w.Refuse()).Take(1)) yield return refusal;
    }

    IEnumerable<Refusal> Refuse()
    {
        if ((For == SupportFor.Neither) != (Word == SupportWord.Neither))
            yield return new("support-without-direction", "A word of support names no side, or the other way round.", "Say for which proposition.");
        if (new[] { Weight, Low, High }.Any(q => q is not null && q.Unit.Code != "1"))
            yield return new("weight-unit", "A weight has a unit.", "Give log10 of the weight with unit 1.");
        else if ((Low is null) != (High is null) || (Low is not null && Weight is null) || (Method is null) != (Weight is null))
            yield return new("interval-incomplete", "An interval lacks an end or a weight, or a number its method.",
                "Give weight, both ends and method, or words only.");
        else if (Weight is not null && Low is not null && (Low.Value.CompareTo(Weight.Value) > 0 || Weight.Value.CompareTo(High!.Value) > 0))
            yield return new("interval-out-of-order", "The weight does not lie in its interval.", "Give low, weight and high in order.");
        else if (Weight is { Value.Sign: var sign }
            && ((sign > 0 && For == SupportFor.Alternative) || (sign < 0 && For == SupportFor.Proposition)))
            yield return new("direction-contradicts-weight", "The words point the other way than the weight.",
                "Say for which proposition the weight speaks.");
    }
}

/// <summary>Seasons in which the bat can have been used, first to last, both included.</summary>
public sealed record SeasonRun(int From, int To) : IPart
{
    /// <summary>Runs are years in order, apart from one another, each within living and written memory of the game.</summary>
    internal static bool AreProper(IReadOnlyList<SeasonRun> runs) =>
        runs.All(r => r is { From: >= 1840, To: <= 2200 } && r.From <= r.To)
        && runs.Zip(runs.Skip(1)).All(pair => pair.First.To < pair.Second.From);
}
