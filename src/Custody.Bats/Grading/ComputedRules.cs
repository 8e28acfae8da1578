namespace Custody.Bats;

/// <summary>What an opinion must keep to that says its numbers are computed. The words are decided again by every checker, from counts and decimals;
/// the numbers themselves are computed again by <c>recompute</c>, because a rule must not turn on the last bit of a platform's arithmetic.</summary>
static class ComputedRules
{
    /// <param name="seasons">What is wrong with the seasons: each shape has its own rule.</param>
    internal static IEnumerable<Refusal> Refuse(IComputedOpinion opinion, Bat bat, Alias? by, ICited cited, Refusal[] seasons)
    {
        Refusal[] unfit =
        [
            .. OpinionRules.Giver(opinion, by), .. OpinionRules.Grounds(opinion, bat, cited), .. Weighing.Refuse(opinion.Pairs, computedHere: true),
            .. OpinionRules.Terms(opinion, bat), .. seasons, .. OpinionRules.Graded(opinion, bat, cited),
        ];
        return unfit.Length > 0 ? unfit : [.. Inputs(opinion, bat), .. Words(opinion, bat, cited)];
    }

    static IEnumerable<Refusal> Inputs(IComputedOpinion opinion, Bat bat)
    {
        var computed = opinion.Pairs.Where(p => p.Method == NumberMethod.Weight1).ToList();
        if (computed.Count > 0 && (opinion.Inputs is null || opinion.HabitFile is null || opinion.ComparisonFile is null || opinion.Rubric is null))
        {
            yield return new("computed-without-inputs", "A weight is said to be computed, and nothing says from what.",
                "Cite a version of the habit file, of the comparison file and a rubric, and give how the bat's characteristics read.");
            yield break;
        }
        if (computed.Exists(p => p.Level != PropositionLevel.UsedByHim || !Weighable.Contains(p.Against)))
            yield return new("pair-not-computed", "Only use by the player is computed, against another professional and against later preparation.",
                "State the other pairs in words.");
        if (computed.Exists(p => p.Low is null))
            yield return new("interval-incomplete", "A computed weight lacks its interval.", "Give weight, both ends and method.");
        if (opinion.Inputs is not { } inputs) yield break;
        if (computed.Count == 0 || inputs.Traits.Count == 0 || inputs.Traits.DistinctBy(t => t.Characteristic).Count() != inputs.Traits.Count
            || inputs.OwnOccasions.Distinct().Count() != inputs.OwnOccasions.Count || inputs.OwnInComparison.Distinct().Count() != inputs.OwnInComparison.Count)
            yield return new("inputs-unfit", "Characteristics are missing, or one stands twice, or nothing is computed from them.",
                "Give each characteristic once, and only with computed weights.");
        else if (inputs.Traits.Any(t => !IsShown(t, opinion, bat)))
            yield return new("trait-not-found", "A characteristic is read from a finding that is not there or says something else.",
                "Name a finding of an examination the opinion rests on, and read it as it stands.");
    }

    static readonly Alternative[] Weighable = [Alternative.UsedByAnotherProfessional, Alternative.PreparedLater];

    static bool IsShown(TraitRead trait, IComputedOpinion opinion, Bat bat) =>
        (trait.Observed == Observed.Seen) == trait.Value is >= 1 && opinion.Examinations.Contains(trait.Examination)
        && bat.Examinations.ByEntry[trait.Examination].Held.TryGetValue(trait.Finding, out var finding)
        && trait.Observed == finding.Presence switch
        {
            Presence.Seen => Observed.Seen,
            Presence.Absent => Observed.Absent,
            _ => Observed.CouldNotBeSeen,
        };

    /// <summary>Words follow from numbers by the rubric's bands, and the grade from findings by its rules; where the examiner departs, it is said.</summary>
    static IEnumerable<Refusal> Words(IComputedOpinion opinion, Bat bat, ICited cited)
    {
        if (opinion.Rubric is not { } reference || cited.Find(reference)?.Fact is not RubricPublished rubric) yield break;
        if (opinion.Pairs.Any(p => p is { Method: NumberMethod.Weight1, Low: { } low, High: { } high } && RubricGrading.WordOf(rubric.Bands, low.Value, high.Value) != (p.For, p.Word)))
            yield return new("word-not-by-scale", "A computed weight carries another word than its interval has in the rubric's bands.",
                "Take the word of the end nearest 1.");
        if (opinion.Graded is not { } graded) yield break;
        if (opinion.Pairs.All(p => p.Level != graded.Level))
            yield return new("level-not-weighed", "The grade's support speaks of a level of proposition that is not weighed.", "Name a level that stands among the pairs.");
        else if (ByRubric(opinion, graded.Level, rubric, bat).Grade != graded.ByRubric)
            yield return new("grade-not-by-rubric", "The rubric gives another grade from these findings.", "Compute it again; what you think otherwise is a departure.");
        var departed = Enum.GetValues<GradeAxis>().Where(axis => Differ(axis, graded.ByRubric, graded.Given)).ToHashSet();
        if (!departed.SetEquals(opinion.Departures.Values.Select(d => d.Axis)))
            yield return new("departure-not-said", "The grade given differs from the rubric's without a departure, or a departure changes nothing.",
                "State one departure for each part that differs, with its ground.");
    }

    internal static RubricGrade ByRubric(IGivenOpinion opinion, PropositionLevel level, RubricPublished rubric, Bat bat) => RubricGrading.Of(
        rubric, Marks.In(opinion.Examinations.Distinct().Select(n => KeyValuePair.Create(n, bat.Examinations.ByEntry[n]))),
        opinion.Pairs.Where(p => p.Level == level).Select(p => (p.For, p.Word)), OpinionRules.FromPicturesOnly(opinion, bat));

    static bool Differ(GradeAxis axis, Grade a, Grade b) => axis switch
    {
        GradeAxis.Support => (a.For, a.Support) != (b.For, b.Support),
        GradeAxis.Use => a.Use != b.Use,
        _ => a.Condition != b.Condition,
    };
}
