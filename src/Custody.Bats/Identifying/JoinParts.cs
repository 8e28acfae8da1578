namespace Custody.Bats;

/// <summary>Record that pieces were put together, on the record that goes on as the whole. Comes first; each piece's own record then
/// ends, citing this entry (<see cref="JoinPiece"/>).</summary>
/// <param name="Pieces">Registration of each piece that has another record. On a divided bat: pieces of that division.</param>
public sealed record JoinParts(IReadOnlyList<Reference> Pieces, IReadOnlyList<PictureHash>? Photographs, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new PartsJoined(Pieces, Photographs ?? [], Explanation)];
}

/// <summary>Pieces were put together; a divided bat's record goes on again.</summary>
public sealed record PartsJoined(
    IReadOnlyList<Reference> Pieces, IReadOnlyList<PictureHash> Photographs, Withheld<string>? Explanation) : BatFact
{
    public override IEnumerable<Reference> Cites => Pieces;
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (bat.Registration is { Voided: true })
            yield return new("registration-voided", "The registration of this bat was voided.", "Register the bat anew.");
        if (bat.Identity is { End: { } end, Ending.Kind: not EndingKind.Divided }) yield return end;
        if (Pieces.Count == 0 || Pieces.DistinctBy(p => p.Stream).Count() != Pieces.Count)
            yield return new("pieces-missing", "Something is joined to something else, each piece once.",
                "Cite each piece's registration once.");
        foreach (var refusal in Pieces.SelectMany(p => OtherRecord.Refuse<BatRegistered>(entry, p, cited)).Distinct()) yield return refusal;
        if (bat.Identity.Ending is { Kind: EndingKind.Divided } ending && Pieces.Except(bat.Identity.Divisions[ending.Entry]).Any())
            yield return new("not-its-piece", "A piece cited is not one this bat was divided into.",
                "Cite the pieces named when it was divided.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Identity = bat.Identity with { Ending = null, Joins = bat.Identity.Joins.Add(entry.N, [.. Pieces]) },
    };
}

/// <summary>Say, on a piece's own record, that it was joined into a whole, which goes on. Comes second.</summary>
/// <param name="Whole">The <c>PartsJoined</c> that names this piece.</param>
public sealed record JoinPiece(Reference Whole, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new PieceJoined(Whole, Explanation)];
}

/// <summary>This piece is part of a whole again; its record ends and points there.</summary>
public sealed record PieceJoined(Reference Whole, Withheld<string>? Explanation) : BatFact
{
    public override IEnumerable<Reference> Cites => [Whole];
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in OtherRecord.Refuse<PartsJoined>(entry, Whole, cited)) yield return refusal;
        if (OtherRecord.Find<PartsJoined>(Whole, cited) is { } joined && !joined.Pieces.Any(p => OtherRecord.IsRegistrationOf(bat, p)))
            yield return new("another-record", "This piece is not among those joined there.", "Cite the entry that names this piece.");
        foreach (var refusal in Unfinished.RefuseOn(bat)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Identity = bat.Identity with { Ending = new Ending(EndingKind.Joined, entry.N, Whole) },
    };
}
