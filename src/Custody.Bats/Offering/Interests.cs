namespace Custody.Bats;

/// <summary>What a seller must tell bidders it has at stake. Always open: it counts against whoever declares it.</summary>
public enum Interest
{
    HouseOwned,
    Guaranteed,
    ThirdPartyGuaranteed,
    IrrevocableBid,
    Advance,
    FeeContingent,
}

/// <summary>The rules on declared interests.</summary>
static class Declared
{
    /// <summary>Stock of the house's own is never offered as someone else's.</summary>
    public static IEnumerable<Refusal> Check(Bat bat, Alias house, IReadOnlyList<Interest> interests)
    {
        if (interests.Distinct().Count() != interests.Count)
            yield return new("interest-twice", "One interest is declared twice.", "Declare each once.");
        if (bat.Title.IsHeldBy(house) && !interests.Contains(Interest.HouseOwned))
            yield return new("house-owned-undisclosed", "The house holds title as asserted and does not say so.", "Declare it as house-owned.");
    }
}
