using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Whether something can be.</summary>
public enum Possible
{
    Yes,
    No,
    NotKnown,
}

/// <summary>One thing a hitter does the same way or not, with named values. A finding of an absence is value 0.</summary>
/// <param name="Values">How many named values it can take, besides absence.</param>
/// <param name="CanBeAdded">Whether it can be put on a bat later to resemble his.</param>
/// <param name="CanBeLost">Whether it can wear off or be taken off.</param>
/// <param name="PublishedSince">Since when it has been public knowledge (EDTF): from then on it can be copied.</param>
public sealed record Characteristic(FindingKind Kind, int Values, Possible CanBeAdded, Possible CanBeLost, Edtf? PublishedSince) : IPart
{
    internal IEnumerable<Refusal> Refuse()
    {
        if (Values is < 1 or > 50)
            yield return new("values-out-of-range", "A characteristic has 1 to 50 named values.", "Name its values, besides absence.");
    }
}

/// <summary>What one occasion shows of a characteristic.</summary>
public enum Observed
{
    Seen,
    Absent,
    CouldNotBeSeen,
}

/// <summary>One characteristic on one occasion.</summary>
/// <param name="Characteristic">Number of the entry that defined it.</param>
/// <param name="Value">Which named value, from 1, when seen.</param>
public sealed record Observation(long Characteristic, Observed Observed, int? Value) : IPart
{
    internal static IEnumerable<Refusal> Refuse(IReadOnlyList<Observation> observations, IReadOnlyDictionary<long, Characteristic> defined)
    {
        if (observations.Count == 0 || observations.DistinctBy(o => o.Characteristic).Count() != observations.Count)
            yield return new("observed-twice", "Nothing is observed, or one characteristic stands twice.", "Give each characteristic once.");
        if (observations.Any(o => !defined.ContainsKey(o.Characteristic)))
            yield return new("no-such-characteristic", "An observation names no characteristic of this file.", "Define it first.");
        else if (observations.Any(o => !o.HasValueOf(defined[o.Characteristic])))
            yield return new("value-unknown", "A value is missing, or none of the characteristic's.",
                "Give a named value exactly when it was seen.");
    }

    bool HasValueOf(Characteristic characteristic) =>
        Observed == Observed.Seen ? Value is { } value && value >= 1 && value <= characteristic.Values : Value is null;
}

/// <summary>What an occasion is known from.</summary>
public enum OccasionKind
{
    InPlayPicture,
    Film,
    PosedPicture,
    Portrait,
    Card,
    SurvivingBat,
    Letter,
    Interview,
    FactoryRecord,
}

/// <summary>How a surviving bat comes into a file. Never because its habits attributed it: that would count a guess as its own proof.</summary>
public enum BatEntry
{
    NotABat,
    CustodyFromPlayer,
    CustodyFromClub,
    HabitsAttributedIt,
}

/// <summary>Observations that are counted together. Pictures in play, posed ones and surviving bats are different kinds of observation.</summary>
public enum Pool
{
    InPlay,
    Posed,
    SurvivingBats,
    Narrative,
}
