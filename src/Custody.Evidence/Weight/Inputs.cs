namespace Custody.Evidence.Weight;

/// <summary>Whether something can happen to a characteristic.</summary>
public enum Known
{
    /// <summary>It can.</summary>
    Yes,

    /// <summary>It cannot.</summary>
    No,

    /// <summary>Nobody said; treated as <see cref="Yes"/>.</summary>
    NotKnown,
}

/// <summary>
/// One thing a hitter does the same way or not. Its value on a bat or an occasion is a number: 0 for looked for and absent, then 1 to
/// <paramref name="Values"/>.
/// </summary>
/// <param name="Id">Number by which occasions and findings name it.</param>
/// <param name="Family">Characteristics of one family depend on one another: one of them counts.</param>
/// <param name="Values">Named values besides absence, 1 or more.</param>
/// <param name="CanBeAdded">Whether it can be put on a bat later to resemble his.</param>
/// <param name="CanBeLost">Whether it can wear off or be taken off.</param>
/// <param name="PublishedSince">Since when it has been public and could be copied; null when nobody said.</param>
public sealed record HabitCharacteristic(
    long Id, string Family, int Values, Known CanBeAdded = Known.NotKnown, Known CanBeLost = Known.NotKnown, Edtf? PublishedSince = null)
{
    /// <summary>How many values there are, absence among them.</summary>
    internal int Classes => Values + 1;
}

/// <summary>What an occasion is known from. Kinds are counted apart.</summary>
public enum ObservedIn
{
    /// <summary>A picture or film of play: counts 1.</summary>
    Play,

    /// <summary>A posed picture, portrait or card: counts 0, because a posed bat is often a prop.</summary>
    Posed,

    /// <summary>A surviving bat with documented custody: another kind of observation than a picture.</summary>
    SurvivingBat,

    /// <summary>A letter, an interview, a record in words: beside the number, never in it.</summary>
    Narrative,
}

/// <summary>One source as recorded.</summary>
/// <param name="Id">Number of its entry.</param>
/// <param name="Player">Whose, in a file of many players; 0 in the file of one.</param>
/// <param name="When">When it was.</param>
/// <param name="CopyOf">The source of which this is a copy.</param>
/// <param name="SameOccasion">A source of the same occasion: one game is one occasion.</param>
/// <param name="Seen">Value by characteristic; what could not be seen is left out.</param>
public sealed record HabitSource(
    long Id, ObservedIn Kind, long Player, Edtf? When, long? CopyOf, long? SameOccasion, IReadOnlyDictionary<long, int> Seen);

/// <summary>What was found on the bat of one characteristic.</summary>
public enum FoundState
{
    /// <summary>Seen, with its value.</summary>
    Seen,

    /// <summary>Looked for and absent: a value like any other.</summary>
    Absent,

    /// <summary>Could not be judged: says nothing, and the result says so.</summary>
    NotAssessable,

    /// <summary>Seen, but nobody said which value it is: does not count until somebody does.</summary>
    SeenValueNotSaid,
}

/// <summary>A finding on the bat under examination.</summary>
/// <param name="Value">Which named value, from 1, when seen; 0 otherwise.</param>
public sealed record BatFinding(long Characteristic, FoundState State, int Value = 0);

/// <summary>What is proposed about the bat, from the least to the most particular.</summary>
public enum ProposedLevel
{
    /// <summary>Made for professional use.</summary>
    MadeForProfessionalUse,

    /// <summary>Ordered for him.</summary>
    OrderedForHim,

    /// <summary>Used in play by a professional.</summary>
    UsedInPlay,

    /// <summary>Used in play by him.</summary>
    UsedByHim,

    /// <summary>Used by him on a named occasion.</summary>
    OnThisOccasion,
}

/// <summary>What it is weighed against.</summary>
public enum WeighedAgainst
{
    /// <summary>Another professional used it.</summary>
    UsedByAnotherProfessional,

    /// <summary>It was prepared later to resemble his.</summary>
    PreparedLater,
}

/// <summary>One pair of propositions.</summary>
public sealed record PropositionPair(ProposedLevel Level, WeighedAgainst Against);

/// <summary>How the player came to be proposed; recorded before findings.</summary>
public enum ProposedBy
{
    /// <summary>The consignor said so.</summary>
    Consignor,

    /// <summary>A marking on the bat says so.</summary>
    MarkingOnBat,

    /// <summary>Files of several players were searched for the best fit.</summary>
    SearchOfFiles,

    /// <summary>Nobody had proposed one when the bat was examined.</summary>
    NobodyThen,
}

/// <summary>Everything a weighing rests on.</summary>
/// <param name="Order">Characteristics in the order fixed with the version of the habit file, heaviest first, before any bat is seen.</param>
/// <param name="Habits">Sources of the player's file; the weighed bat's own are left out by whoever calls.</param>
/// <param name="Comparison">Sources of other professionals.</param>
/// <param name="CustodyDocumentedFrom">From when this bat's custody is documented without a gap; null when it is not.</param>
/// <param name="FilesSearched">How many files were searched, when <see cref="ProposedBy.SearchOfFiles"/>; otherwise 1.</param>
public sealed record WeighingInput(
    IReadOnlyList<HabitCharacteristic> Order, IReadOnlyList<HabitSource> Habits, IReadOnlyList<HabitSource> Comparison,
    IReadOnlyList<BatFinding> Findings, IReadOnlyList<PropositionPair> Pairs, ProposedBy ProposedBy, int FilesSearched = 1,
    Edtf? CustodyDocumentedFrom = null)
{
    /// <summary>The pairs that always stand on the page when a player is proposed.</summary>
    public static IReadOnlyList<PropositionPair> UsualPairs { get; } =
    [
        new(ProposedLevel.UsedByHim, WeighedAgainst.UsedByAnotherProfessional), new(ProposedLevel.UsedByHim, WeighedAgainst.PreparedLater),
    ];
}

/// <summary>Choices that are stated, never taken after seeing the bat.</summary>
/// <param name="PosedFraction">What a posed picture counts beside 0 and 1, 0 to 1; never in the result itself.</param>
/// <param name="LikenessDefault">A where the comparison file cannot tell it.</param>
/// <param name="Basis">Which observations count where no loss factor joins them: play, or surviving bats.</param>
/// <param name="LossFactors">By characteristic: how often a mark seen in play is gone on a surviving bat, 0 up to but not 1.</param>
/// <param name="Spent">Characteristics already used for dating: they do not score again.</param>
/// <param name="Scale">Whose words.</param>
public sealed record WeighingChoices(
    DecimalText? PosedFraction = null, DecimalText? LikenessDefault = null, ObservedIn Basis = ObservedIn.Play,
    IReadOnlyDictionary<long, DecimalText>? LossFactors = null, IReadOnlyList<long>? Spent = null, VerbalScale? Scale = null)
{
    /// <summary>The stated A where nothing better is known: about half of what he does on a new bat follows from one earlier bat. Common practice.</summary>
    public static DecimalText UsualLikeness { get; } = DecimalText.Parse("1.00");
}
