namespace Custody.Bats;

/// <summary>Whether a dated fact excludes, or only says what is usual.</summary>
public enum BoundStrength
{
    Hard,
    Usual,
}

/// <summary>Whether a dated fact holds of the bat, or only if the player in question used it.</summary>
public enum DatingScope
{
    Bat,
    Player,
}

/// <summary>What a dated fact is read from. Words of the trade; common practice.</summary>
public enum DatingBasis
{
    MakersMark,
    ModelStamp,
    FactoryRecord,
    ClubRecord,
    Picture,
    UniformNumber,
    Tenure,
    TeamOrEventMark,
    Damage,
    Publication,
    LetterOrInterview,
    CommonPractice,
    Other,
}
