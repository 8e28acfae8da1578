namespace Custody.Bats;

/// <summary>How one bat became several pieces.</summary>
public enum DivisionCause
{
    Broke,
    Cut,
}

/// <summary>Record that the bat is in pieces, each with a record of its own. Register the pieces first and cite their
/// registrations.</summary>
/// <param name="Pieces">Registration of each piece, two or more.</param>
public sealed record DivideBat(
    DivisionCause Cause, IReadOnlyList<Reference> Pieces, IReadOnlyList<PictureHash>? Photographs, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new BatDivided(Cause, Pieces, Photographs ?? [], Explanation)];
}

/// <summary>The bat is in pieces; this record ends and points to theirs, until they are joined.</summary>
public sealed record BatDivided(
    DivisionCause Cause, IReadOnlyList<Reference> Pieces, IReadOnlyList<PictureHash> Photographs, Withheld<string>? Explanation) : BatFact
{
    public override IEnumerable<Reference> Cites => Pieces;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Pieces.DistinctBy(p => p.Stream).Count() is var count && (count < 2 || count != Pieces.Count))
            yield return new("pieces-missing", "A divided bat has at least two pieces, each with a record of its own.",
                "Register each piece and cite it once.");
        foreach (var refusal in Pieces.SelectMany(p => OtherRecord.Refuse<BatRegistered>(entry, p, cited)).Distinct()) yield return refusal;
        if (OwnHands.Refuse(bat, entry) is { } stranger) yield return stranger;
        foreach (var refusal in Unfinished.RefuseOn(bat)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Identity = bat.Identity with
        {
            Ending = new Ending(EndingKind.Divided, entry.N, null),
            Divisions = bat.Identity.Divisions.Add(entry.N, [.. Pieces]),
        },
    };
}
