namespace Custody.Bats;

/// <summary>Close the bat's packing with a numbered seal.</summary>
/// <param name="Number">As printed on the seal; withheld, or anyone could order the same one.</param>
public sealed record ApplySeal(SealOn On, string Number, IReadOnlyList<PictureHash>? Photographs, string? Note) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new SealApplied(On, Photographs ?? [], Number, Note)];
}

/// <summary>A seal was put on.</summary>
public sealed record SealApplied(
    SealOn On, IReadOnlyList<PictureHash> Photographs, Withheld<string>? Number, Withheld<string>? Note) : BatFact
{
    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (bat.Keeping.Custodian is not { } keeper || !Mandate.ActsFor(bat, entry, keeper, AuthorisedAct.Release))
            yield return new("not-custodian", "Only the custodian, or someone authorised by them, seals the bat.",
                "Seal it before it is released, or once received.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Seals = bat.Seals with { ByEntry = bat.Seals.ByEntry.Add(entry.N, new Seal(On, null)) },
    };
}
