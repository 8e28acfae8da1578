namespace Custody.Bats;

/// <summary>Say, on the younger of two records, that it is of the same bat as the older one. Comes second, citing the older record's
/// <c>DuplicateFound</c>; this record then points there and ends, until it is reopened.</summary>
public sealed record DeclareSameBat(Reference Found, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new SameBatDeclared(Found, Explanation)];
}

/// <summary>This record is of the same bat as an older one, which goes on.</summary>
public sealed record SameBatDeclared(Reference Found, Withheld<string>? Explanation) : BatFact
{
    public override IEnumerable<Reference> Cites => [Found];
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in OtherRecord.Refuse<DuplicateFound>(entry, Found, cited)) yield return refusal;
        if (OtherRecord.Find<DuplicateFound>(Found, cited) is { } found && !OtherRecord.IsRegistrationOf(bat, found.Younger))
            yield return new("another-record", "What was found there concerns another record than this one.",
                "Cite the finding that names this record.");
        // Two records registered in the same second could each be found the duplicate of the other; only one may end.
        if (bat.Identity.Duplicates.Values.Any(d => !d.Withdrawn && d.Other.Stream == Found.Stream))
            yield return new("duplicate-of-itself", "That record is itself found to be a duplicate of this one.",
                "Withdraw one of the two findings.");
        foreach (var refusal in Unfinished.RefuseOn(bat)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Identity = bat.Identity with { Ending = new Ending(EndingKind.SameBat, entry.N, Found) },
    };
}
