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
    /// <param name="kept">Where counted files are kept, under a name that tells these versions from any others; null to count afresh.</param>
    public static (IReadOnlyList<Weighing> Pairs, Refusal? Refused) Of(
        Bat bat, WeightInputs inputs, IReadOnlyList<Entry>? habits, IReadOnlyList<Entry>? comparison, RubricPublished? rubric, (CitedStreams In, string Name)? kept = null)
    {
        if (rubric is null) return ([], OpinionNumbers.NotHeld("rubric"));
        if (NotHeld(habits, comparison) is { } missing) return ([], missing);
        var (files, counted, uncounted) = kept is { } keep ? keep.In.Counted(keep.Name + Text(inputs), Count) : Count();
        if (Crossed(bat, inputs, files) is { } crossed) return ([], crossed);
        if (counted is null) return ([], Named(uncounted!));
        return Weigher.TryNumbers(counted, Input(inputs, files), out var numbers, out var refused)
            ? ([.. numbers.Select(n => Of(n, rubric))], null) : ([], Named(refused));

        CountedFiles Count()
        {
            var read = FilesToWeigh.Without(habits!, comparison!, inputs.OwnOccasions, inputs.OwnInComparison);
            return PreparedFiles.TryPrepare(read.Order, read.Habits, read.Comparison, Choices(inputs, rubric), out var prepared, out var no)
                ? new(read, prepared, null) : new(read, null, no);
        }
    }

    // Everything of the inputs that counting depends on; what the bat shows comes after.
    static string Text(WeightInputs inputs) => string.Join(
        '|', string.Join(',', inputs.OwnOccasions), string.Join(',', inputs.OwnInComparison), inputs.Basis, inputs.LikenessDefault?.Value.Text ?? "",
        string.Join(',', inputs.LossFactors.Select(l => $"{l.Characteristic}:{l.Factor.Value}")), string.Join(',', inputs.Spent));

    /// <summary>Everything about a weighing, with which next observation would change the word.</summary>
    public static WeighingResult? Whole(Bat bat, WeightInputs inputs, IReadOnlyList<Entry>? habits, IReadOnlyList<Entry>? comparison, RubricPublished? rubric)
    {
        if (rubric is null || NotHeld(habits, comparison) is not null) return null;
        var files = FilesToWeigh.Without(habits!, comparison!, inputs.OwnOccasions, inputs.OwnInComparison);
        return Crossed(bat, inputs, files) is null && Weigher.TryWeigh(Input(inputs, files), Choices(inputs, rubric), out var result, out _) ? result : null;
    }

    static Refusal? NotHeld(IReadOnlyList<Entry>? habits, IReadOnlyList<Entry>? comparison) =>
        habits is null || !habits.Any(e => e.Fact is CountsVersioned) ? OpinionNumbers.NotHeld("habit file")
        : comparison is null ? OpinionNumbers.NotHeld("comparison file") : null;

    static Refusal? Crossed(Bat bat, WeightInputs inputs, FilesToWeigh files) =>
        inputs.Traits.All(t => !files.Kinds.TryGetValue(t.Characteristic, out var kind) || KindOf(bat, t) == kind) ? null
        : new("trait-of-another-kind", "A characteristic is read from a finding of another kind.", "Read each from a finding of its own kind.");

    static Refusal Named(EvidenceRefusal refused) => new(refused.Code, refused.Sentence, refused.Remedy);

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

/// <summary>A habit file and a comparison file read and counted, or why they cannot be.</summary>
sealed record CountedFiles(FilesToWeigh Files, PreparedFiles? Counted, EvidenceRefusal? Uncounted);
