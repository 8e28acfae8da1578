namespace Custody.Bats;

/// <summary>Groups of what is looked at on a bat. Characteristics of one group depend on one another.</summary>
public enum FindingPart
{
    Make,
    HandlePreparation,
    Markings,
    Use,
    LaterLife,
}

/// <summary>What a finding is of. Words of the trade, group by group; common practice.</summary>
public enum FindingKind
{
    Maker, BrandStyle, ModelStamp, PlayerName, TeamOrEventMark, Wood, Finish, Cup, Length, Weight, Girth, KnobShape, HandleShape, RingCount,
    OtherMake,

    Tape, TapeResidue, Scoring, PineTar, Rosin, Wax, Sanding, OtherPreparation,

    UniformNumber, WeightMark, Writing, RackPosition, Stencil, DisplayMark, OtherMarking,

    BallMark, SeamImpression, InkTransfer, RackMark, RackPaint, CleatMark, HandleCrack, Chip, Checking, FlattenedBarrel, OtherUse,

    Cleaning, Repair, FilledCrack, RemovedTape, AddedWriting, Refinishing, CutDown, OtherLaterLife,
}

/// <summary>Seen, looked for and absent, or not to be judged: an absence is a finding like any other.</summary>
public enum Presence
{
    Seen,
    Absent,
    NotAssessable,
}

/// <summary>How sure the examiner is of one finding.</summary>
public enum Confidence
{
    Low,
    Moderate,
    High,
}

/// <summary>By what means something was seen.</summary>
public enum SeenBy
{
    Eye,
    HandLens,
    Microscope,
    RakingLight,
    Ultraviolet,
    Infrared,
    XRay,
    Touch,
    Measuring,
    Photograph,
}

/// <summary>Which group a kind belongs to.</summary>
public static class FindingKinds
{
    public static FindingPart PartOf(FindingKind kind) => kind switch
    {
        <= FindingKind.OtherMake => FindingPart.Make,
        <= FindingKind.OtherPreparation => FindingPart.HandlePreparation,
        <= FindingKind.OtherMarking => FindingPart.Markings,
        <= FindingKind.OtherUse => FindingPart.Use,
        _ => FindingPart.LaterLife,
    };
}
