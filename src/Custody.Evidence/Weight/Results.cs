namespace Custody.Evidence.Weight;

/// <summary>Why a characteristic is not in a number.</summary>
public enum Uncounted
{
    /// <summary>Nothing was found of it either way.</summary>
    NotLookedFor,

    /// <summary>It could not be judged on the bat: LR 1.</summary>
    NotAssessable,

    /// <summary>It was seen, but not said which value it is.</summary>
    ValueNotSaid,

    /// <summary>His file has no occasion that shows it either way: LR 1.</summary>
    NoOccasions,

    /// <summary>The comparison file does not have it.</summary>
    NotCompared,

    /// <summary>It dated the bat and does not score again.</summary>
    SpentOnDating,

    /// <summary>Another member of its family comes first in the fixed order.</summary>
    NotFirstOfFamily,

    /// <summary>It could have been added by someone who knew of it: custody is not documented from before it was published.</summary>
    CouldHaveBeenAdded,
}

/// <summary>A likelihood ratio as it is kept: log10 to 0.001 and its 90 % interval.</summary>
public sealed record RatioRange(string Log10, string Low, string High);

/// <summary>One characteristic beside the finding, whether it counts or not: everything needed to draw and to recompute it.</summary>
/// <param name="Members">Its number; several when counted jointly.</param>
/// <param name="Value">Value found; 0 is absent; of a joint one the values in turn.</param>
/// <param name="Shown">k, his occasions with the value.</param>
/// <param name="Occasions">n, his occasions that show it either way.</param>
/// <param name="Others">K, players' shares with the value, to 0.0001.</param>
/// <param name="Players">N.</param>
/// <param name="Classes">C.</param>
/// <param name="Frequency">p, to 0.000001.</param>
/// <param name="Likeness">A.</param>
/// <param name="BesideShown">Occasions with the value of the kind that does not count here, and all of that kind.</param>
/// <param name="PosedShown">The same for posed pictures.</param>
public sealed record CharacteristicWeight(
    IReadOnlyList<long> Members, string Family, FoundState State, IReadOnlyList<int> Value, string Shown, string Occasions, string Others, string Players,
    int Classes, string Frequency, string Likeness, LikenessFrom LikenessFrom, RatioRange Weight, string AtHalfA, string AtTwiceA,
    string BesideShown, string BesideOccasions, string PosedShown, string PosedOccasions);

/// <summary>A characteristic that is not in a pair's number, and why.</summary>
public sealed record UncountedCharacteristic(long Characteristic, Uncounted Why);

/// <summary>A pair's number under another choice.</summary>
/// <param name="Choice">In a word and a number: A x 0.5, posed x 0.25, without source 12, without characteristic 3.</param>
/// <param name="ChangesWord">The word or its direction is another one.</param>
public sealed record Varied(string Choice, RatioRange Weight, Wording Wording, bool ChangesWord);

/// <summary>A pair's number without one thing it rests on.</summary>
/// <param name="Number">Of the source's or characteristic's entry.</param>
/// <param name="Difference">Log10 without it, less log10 with it.</param>
/// <param name="CarriesTheConclusion">Without it nothing is supported, or the other side: the sole support.</param>
public sealed record Without(long Number, RatioRange Weight, string Difference, Wording Wording, bool ChangesWord, bool CarriesTheConclusion);

/// <summary>What kind of observation could come next.</summary>
public enum NextKind
{
    /// <summary>One more independent occasion of his that shows the value found on the bat.</summary>
    OccasionWithTheValue,

    /// <summary>One more that shows another value.</summary>
    OccasionWithAnotherValue,

    /// <summary>The bat's characteristic is judged after all and shows his most usual value.</summary>
    FindingOfHisUsualValue,

    /// <summary>The bat's characteristic is judged after all and is looked for in vain.</summary>
    FindingOfAbsence,

    /// <summary>Custody of the bat is documented from before his habits were published.</summary>
    CustodyDocumented,
}

/// <summary>What a next observation would do.</summary>
/// <param name="Characteristic">Its number; null for custody.</param>
/// <param name="Difference">Change of log10.</param>
/// <param name="TimesToChangeWord">How many such observations change the word; null when 20 do not, or it can be made once only and does not.</param>
/// <param name="Chance">How likely it is if the bat is his or, of an occasion, if he goes on as before; to 0.01. Null where no number stands behind it.</param>
public sealed record NextObservation(
    NextKind Kind, long? Characteristic, int? Value, RatioRange Weight, string Difference, Wording Wording, bool ChangesWord, int? TimesToChangeWord,
    string? Chance);

/// <summary>A reader's prior odds and what they become. The house states none.</summary>
/// <param name="Prior">Odds for the proposition, as a:b.</param>
/// <param name="PosteriorLog10">Log10 of the odds at the lower end, the number itself and the upper end.</param>
/// <param name="Probability">The same three as probabilities, to 0.0001.</param>
public sealed record ReaderPrior(string Prior, IReadOnlyList<string> PosteriorLog10, IReadOnlyList<string> Probability);

/// <summary>The numbers of one pair, and nothing else.</summary>
public sealed record PairNumbers(PropositionPair Pair, RatioRange Weight);

/// <summary>One pair of propositions weighed.</summary>
/// <param name="Proposition">In words, from the level's template.</param>
/// <param name="Counted">Numbers of the characteristics in the number.</param>
/// <param name="FullIndependence">What multiplying every characteristic would give, log10: a bound, never the result.</param>
public sealed record PairWeight(
    PropositionPair Pair, string Proposition, string Alternative, RatioRange Weight, Wording Wording, IReadOnlyList<IReadOnlyList<long>> Counted,
    IReadOnlyList<UncountedCharacteristic> NotCounted, string FullIndependence, IReadOnlyList<Varied> Varied, IReadOnlyList<Without> WithoutSource,
    IReadOnlyList<Without> WithoutCharacteristic, IReadOnlyList<NextObservation> Next, IReadOnlyList<ReaderPrior> Priors);

/// <summary>A caution that travels with the result.</summary>
public sealed record Caution(string Code, string Sentence);

/// <summary>What was counted, for a reader and for recomputing.</summary>
/// <param name="Sources">Sources given, of the player.</param>
/// <param name="Roots">Independent occasions among them, by kind.</param>
/// <param name="Players">Players of the comparison file.</param>
public sealed record WeighedFrom(
    int Sources, IReadOnlyDictionary<string, int> Roots, int Players, int ComparisonSources, string Basis, string PosedFraction, string LikenessDefault,
    string? CustodyDocumentedFrom, IReadOnlyList<long> Spent, IReadOnlyDictionary<string, string> LossFactors);

/// <summary>A whole weighing, recomputable from its inputs to the same text.</summary>
/// <param name="Method">Id of the method.</param>
/// <param name="MethodVersion">Its version: another one may give other digits.</param>
/// <param name="BestOf">How many files were searched: 1 unless the player was found by searching.</param>
public sealed record WeighingResult(
    string Method, int MethodVersion, string ScaleSource, ProposedBy ProposedBy, int BestOf, WeighedFrom From, IReadOnlyList<CharacteristicWeight> Characteristics,
    IReadOnlyList<PairWeight> Pairs, IReadOnlyList<Caution> Cautions);
