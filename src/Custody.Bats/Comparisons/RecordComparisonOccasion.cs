using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Record an occasion of another professional's bat.</summary>
/// <param name="Player">Whose: a player's occasions form one cluster.</param>
/// <param name="Entry">How a surviving bat comes in.</param>
/// <param name="Custody">For a surviving bat: the entry of its own history that documents custody from club or player.</param>
public sealed record RecordComparisonOccasion(
    PartyId Player, OccasionKind Kind, Edtf? When, long? CopyOf, long? SameOccasion, BatEntry Entry, IReadOnlyList<Observation> Observations,
    Reference? Bat, PictureHash? Picture, string? Source, Reference? Custody = null) : ComparisonCommand
{
    public override IReadOnlyList<Fact<ComparisonFile>> Produce(ComparisonFile file, Introductions people) =>
    [
        Kind == OccasionKind.SurvivingBat || Custody is not null
            ? new ComparisonOccasionRecorded2(people.Of(Player, Role.Player), Kind, When, CopyOf, SameOccasion, Entry, Observations, Picture, Custody, Bat, Source)
            : new ComparisonOccasionRecorded(people.Of(Player, Role.Player), Kind, When, CopyOf, SameOccasion, Entry, Observations, Picture, Bat, Source),
    ];
}

/// <summary>An occasion of another professional's bat was recorded; it goes by this entry's number. Surviving bats recorded before their custody was asked for stand in this shape.</summary>
public sealed record ComparisonOccasionRecorded(
    Alias Player, OccasionKind Kind, Edtf? When, long? CopyOf, long? SameOccasion, BatEntry Entry, IReadOnlyList<Observation> Observations,
    PictureHash? Picture, Withheld<Reference>? Bat, Withheld<string>? Source) : ComparisonFact
{
    protected override IEnumerable<Refusal> PermitOn(ComparisonFile file, Entry entry, ICited cited) =>
        Occasion.Refuse(Kind, Entry, Player, CopyOf, SameOccasion, file.Occasions)
            .Concat(Observation.Refuse(Observations, file.Characteristics));

    public override ComparisonFile Apply(ComparisonFile file, Entry entry) => file with
    {
        Occasions = file.Occasions.Add(entry.N, new Occasion(Kind, Player, When, CopyOf, SameOccasion, [.. Observations], Withdrawn: null)),
    };
}

/// <summary>A surviving bat came in, with the entry of its own history that documents custody; it goes by this entry's number.</summary>
[Shape("ComparisonOccasionRecorded.2")]
public sealed record ComparisonOccasionRecorded2(
    Alias Player, OccasionKind Kind, Edtf? When, long? CopyOf, long? SameOccasion, BatEntry Entry, IReadOnlyList<Observation> Observations,
    PictureHash? Picture, Reference? Custody, Withheld<Reference>? Bat, Withheld<string>? Source) : ComparisonFact
{
    public override IEnumerable<Reference> Cites => Custody is null ? [] : [Custody];

    protected override IEnumerable<Refusal> PermitOn(ComparisonFile file, Entry entry, ICited cited) =>
        Occasion.Refuse(Kind, Entry, Player, CopyOf, SameOccasion, file.Occasions)
            .Concat(Occasion.RefuseCustody(Kind, Entry, Custody, cited))
            .Concat(Observation.Refuse(Observations, file.Characteristics));

    public override ComparisonFile Apply(ComparisonFile file, Entry entry) => file with
    {
        Occasions = file.Occasions.Add(entry.N, new Occasion(Kind, Player, When, CopyOf, SameOccasion, [.. Observations], Withdrawn: null)),
    };
}
