namespace Custody.Bats;

/// <summary>What was done to the wood or its surface.</summary>
public enum TreatmentKind
{
    Cleaning,
    Consolidation,
    Repair,
    Filling,
    Mounting,
    TapeRemoval,
    Refinishing,
    PestTreatment,
    Sampling,
    Other,
}

/// <summary>Whether it can be undone.</summary>
public enum Reversible
{
    Fully,
    Partly,
    No,
    NotKnown,
}

/// <summary>What of a mount or material touches the bat.</summary>
public enum Touching
{
    Nothing,
    Fabric,
    Foam,
    Metal,
    Plastic,
    Adhesive,
    Wax,
    Solvent,
    Water,
    Other,
}

/// <summary>Record a treatment done here, with the bat before and after.</summary>
/// <param name="Place">Where on the bat, when not all over.</param>
/// <param name="Before">Released pictures from before.</param>
/// <param name="After">Released pictures from after.</param>
public sealed record TreatBat(
    IReadOnlyList<TreatmentKind> Kinds, Reversible Reversible, IReadOnlyList<Touching>? Touching, PartyId Conservator, SurfacePlace? Place,
    IReadOnlyList<PictureHash>? Before, IReadOnlyList<PictureHash>? After, string? Description, string? Materials, string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new BatTreated(
            Kinds, Reversible, Touching ?? [], people.Of(Conservator, Role.Conservator), Place, Before ?? [], After ?? [],
            Description, Materials, Reason),
    ];
}

/// <summary>The bat was treated. That it was, and how, is always open; one found later is a finding.</summary>
public sealed record BatTreated(
    IReadOnlyList<TreatmentKind> Kinds, Reversible Reversible, IReadOnlyList<Touching> Touching, Alias Conservator, SurfacePlace? Place,
    IReadOnlyList<PictureHash> Before, IReadOnlyList<PictureHash> After,
    Withheld<string>? Description, Withheld<string>? Materials, Withheld<string>? Reason) : BatFact
{
    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (OwnHands.Refuse(bat, entry) is { } stranger) yield return stranger;
        if (Kinds.Count == 0)
            yield return new("treatment-of-no-kind", "Nothing says what was done.", "Name what was done.");
        foreach (var refusal in SurfacePlace.Refuse(Place)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) =>
        bat with { Treatments = bat.Treatments.Add(entry.N, new Treatment([.. Kinds], Reversible, Reported: false)) };
}
