using Custody.Evidence;
using Custody.Evidence.Weight;

namespace Custody.Bats;

/// <summary>The weights of an opinion, from its inputs and the two files it cites.</summary>
static class WeightNumbers
{
    /// <summary>Name and version of the method that <see cref="NumberMethod.Weight1"/> stands for.</summary>
    public const string Method = Weigher.Method + "/1";

    static readonly Unit One = Unit.Find("1")!;

    /// <summary>The computed pairs, or why there are none.</summary>
    /// <param name="habits">Entries of the habit file up to the version cited; null when it is not held here.</param>
    /// <param name="comparison">Likewise.</param>
    /// <param name="rubric">Whose bands pick the words.</param>
    public static (IReadOnlyList<Weighing> Pairs, Refusal? Refused) Of(
        Bat bat, WeightInputs inputs, IReadOnlyList<Entry>? habits, IReadOnlyList<Entry>? comparison, RubricPublished? rubric)
    {
        if (rubric is null) return ([], OpinionNumbers.NotHeld("rubric"));
        var (files, unread) = Files(bat, inputs, habits, comparison);
        if (files is null) return ([], unread);
        return PreparedFiles.TryPrepare(files.Order, files.Habits, files.Comparison, Choices(inputs, rubric), out var prepared, out var refused)
            && Weigher.TryNumbers(prepared, Input(inputs, files), out var numbers, out refused)
            ? ([.. numbers.Select(n => Of(n, rubric))], null) : ([], new(refused.Code, refused.Sentence, refused.Remedy));
    }

    /// <summary>Everything about a weighing, with which next observation would change the word.</summary>
    public static WeighingResult? Whole(Bat bat, WeightInputs inputs, IReadOnlyList<Entry>? habits, IReadOnlyList<Entry>? comparison, RubricPublished? rubric) =>
        rubric is not null && Files(bat, inputs, habits, comparison).Files is { } files
        && Weigher.TryWeigh(Input(inputs, files), Choices(inputs, rubric), out var result, out _) ? result : null;

    static (FilesToWeigh? Files, Refusal? Refused) Files(Bat bat, WeightInputs inputs, IReadOnlyList<Entry>? habits, IReadOnlyList<Entry>? comparison)
    {
        if (habits is null || !habits.Any(e => e.Fact is CountsVersioned)) return (null, OpinionNumbers.NotHeld("habit file"));
        if (comparison is null) return (null, OpinionNumbers.NotHeld("comparison file"));
        var files = FilesToWeigh.Without(habits, comparison, inputs.OwnOccasions, inputs.OwnInComparison);
        return inputs.Traits.All(t => !files.Kinds.TryGetValue(t.Characteristic, out var kind) || KindOf(bat, t) == kind) ? (files, null)
            : (null, new("trait-of-another-kind", "A characteristic is read from a finding of another kind.", "Read each from a finding of its own kind."));
    }

    static FindingKind? KindOf(Bat bat, TraitRead trait) =>
        bat.Examinations.ByEntry.GetValueOrDefault(trait.Examination)?.Held.GetValueOrDefault(trait.Finding)?.Kind;

    static WeighingInput Input(WeightInputs inputs, FilesToWeigh files) => new(
        files.Order, files.Habits, files.Comparison, [.. inputs.Traits.Select(Of)], WeighingInput.UsualPairs,
        // How he was proposed changes cautions and no number.
        Evidence.Weight.ProposedBy.Consignor, 1, inputs.CustodyFrom);

    static BatFinding Of(TraitRead trait) => new(
        trait.Characteristic,
        trait.Observed switch { Observed.Seen => FoundState.Seen, Observed.Absent => FoundState.Absent, _ => FoundState.NotAssessable }, trait.Value ?? 0);

    static WeighingChoices Choices(WeightInputs inputs, RubricPublished rubric) => new(
        LikenessDefault: inputs.LikenessDefault?.Value, Basis: inputs.Basis == Pool.SurvivingBats ? ObservedIn.SurvivingBat : ObservedIn.Play,
        LossFactors: inputs.LossFactors.ToDictionary(l => l.Characteristic, l => l.Factor.Value), Spent: inputs.Spent, Scale: RubricGrading.Scale(rubric.Bands));

    static Weighing Of(PairNumbers numbers, RubricPublished rubric)
    {
        var (low, high) = (DecimalText.Parse(numbers.Weight.Low), DecimalText.Parse(numbers.Weight.High));
        var (side, word) = RubricGrading.WordOf(rubric.Bands, low, high);
        return new Weighing(
            PropositionLevel.UsedByHim,
            numbers.Pair.Against == WeighedAgainst.PreparedLater ? Alternative.PreparedLater : Alternative.UsedByAnotherProfessional, side, word,
            NumberMethod.Weight1, Quantity.Of(DecimalText.Parse(numbers.Weight.Log10), One), Quantity.Of(low, One), Quantity.Of(high, One));
    }
}
