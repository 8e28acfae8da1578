namespace Custody.Bats;

/// <summary>How strongly findings support one proposition against the other: the words of the example verbal scale in the ENFSI Guideline
/// for Evaluative Reporting (2015). Which numbers they stand for is the rubric's.</summary>
public enum SupportWord
{
    Neither,
    Weak,
    Moderate,
    ModeratelyStrong,
    Strong,
    VeryStrong,
    ExtremelyStrong,
}

/// <summary>For which of the pair.</summary>
public enum SupportFor
{
    Neither,
    Proposition,
    Alternative,
}

/// <summary>How much use the bat shows.</summary>
public enum UseWord
{
    NotAssessable,
    NoneSeen,
    Slight,
    Moderate,
    Heavy,
}

/// <summary>In what condition it is.</summary>
public enum ConditionWord
{
    NotAssessable,
    Poor,
    Fair,
    Good,
    Excellent,
}

/// <summary>Three separate things, never one number.</summary>
public enum GradeAxis
{
    Support,
    Use,
    Condition,
}

/// <summary>A grade: words only, each by the rubric.</summary>
public sealed record Grade(SupportFor For, SupportWord Support, UseWord Use, ConditionWord Condition) : IPart;

/// <summary>What is proposed about the bat, from the least to the most particular.</summary>
public enum PropositionLevel
{
    MadeForProfessionalUse,
    OrderedForHim,
    UsedInPlay,
    UsedByHim,
    OnThisOccasion,
}

/// <summary>What it is weighed against.</summary>
public enum Alternative
{
    MadeForRetail,
    OrderedForAnother,
    NotUsedInPlay,
    UsedByAnotherProfessional,
    PreparedLater,
    OnAnotherOccasion,
}
