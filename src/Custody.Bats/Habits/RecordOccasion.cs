using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Record an occasion on which the player's bat can be seen or is told of.</summary>
/// <param name="When">When it was (EDTF).</param>
/// <param name="CopyOf">Number of an occasion's entry of which this is a copy.</param>
/// <param name="SameOccasion">Number of an entry of the same occasion: one game is one occasion.</param>
/// <param name="Entry">How a surviving bat comes in.</param>
/// <param name="Custody">For a surviving bat: the entry of its own history that documents custody from club or player.</param>
/// <param name="Bat">The registration of that bat, when it is in a ledger: its own occasion is taken out when it is weighed.</param>
public sealed record RecordOccasion(
    OccasionKind Kind, Edtf? When, long? CopyOf, long? SameOccasion, BatEntry Entry, IReadOnlyList<Observation> Observations, Reference? Bat,
    PictureHash? Picture, string? Source, Reference? Custody = null) : HabitCommand
{
    public override IReadOnlyList<Fact<HabitFile>> Produce(HabitFile file, Introductions people) =>
    [
        Kind == OccasionKind.SurvivingBat || Custody is not null
            ? new OccasionRecorded2(Kind, When, CopyOf, SameOccasion, Entry, Observations, Picture, Custody, Bat, Source)
            : new OccasionRecorded(Kind, When, CopyOf, SameOccasion, Entry, Observations, Picture, Bat, Source),
    ];
}

/// <summary>An occasion was recorded; it goes by this entry's number. Surviving bats recorded before their custody was asked for stand in this shape.</summary>
public sealed record OccasionRecorded(
    OccasionKind Kind, Edtf? When, long? CopyOf, long? SameOccasion, BatEntry Entry, IReadOnlyList<Observation> Observations,
    PictureHash? Picture, Withheld<Reference>? Bat, Withheld<string>? Source) : HabitFact
{
    protected override IEnumerable<Refusal> PermitOn(HabitFile file, Entry entry, ICited cited) =>
        Occasion.Refuse(Kind, Entry, null, CopyOf, SameOccasion, file.Occasions)
            .Concat(Observation.Refuse(Observations, file.Characteristics));

    public override HabitFile Apply(HabitFile file, Entry entry) => file with
    {
        Occasions = file.Occasions.Add(entry.N, new Occasion(Kind, null, When, CopyOf, SameOccasion, [.. Observations], Withdrawn: null)),
    };
}

/// <summary>A surviving bat came in, with the entry of its own history that documents custody; it goes by this entry's number.</summary>
[Shape("OccasionRecorded.2")]
public sealed record OccasionRecorded2(
    OccasionKind Kind, Edtf? When, long? CopyOf, long? SameOccasion, BatEntry Entry, IReadOnlyList<Observation> Observations,
    PictureHash? Picture, Reference? Custody, Withheld<Reference>? Bat, Withheld<string>? Source) : HabitFact
{
    public override IEnumerable<Reference> Cites => Custody is null ? [] : [Custody];

    protected override IEnumerable<Refusal> PermitOn(HabitFile file, Entry entry, ICited cited) =>
        Occasion.Refuse(Kind, Entry, null, CopyOf, SameOccasion, file.Occasions)
            .Concat(Occasion.RefuseCustody(Kind, Entry, Custody, cited))
            .Concat(Observation.Refuse(Observations, file.Characteristics));

    public override HabitFile Apply(HabitFile file, Entry entry) => file with
    {
        Occasions = file.Occasions.Add(entry.N, new Occasion(Kind, null, When, CopyOf, SameOccasion, [.. Observations], Withdrawn: null)),
    };
}
