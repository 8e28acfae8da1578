namespace Custody.Bats;

/// <summary>An opinion of a house with computed numbers, as the second shape has it, and besides: how placed findings meet the player's usual zones, lists of where
/// the bat could have been, and the dated facts that stated seasons were read from.</summary>
[Shape("OpinionGiven.3")]
public sealed record OpinionGiven3(
    Alias House, IReadOnlyList<Alias> Examiners, Alias? Player, IReadOnlyList<Weighing> Pairs, WeightInputs? Inputs, SeasonsFound? Seasons,
    GradeGiven? Graded, Reference? Rubric, Keyed<Departure> Departures, IReadOnlyList<long> Examinations, IReadOnlyList<long> Sources,
    IReadOnlyList<long> Photographs, IReadOnlyList<long> Comparisons, IReadOnlyList<long> Treatments, Reference? HabitFile,
    Reference? ComparisonFile, IReadOnlyList<long> Supersedes, Alias AskedBy, Alias? PaidBy, FeeTerms Fee,
    IReadOnlyList<DeclaredInterest> Interests, Withheld<string>? Statement, Withheld<string>? Reasons, ZonesFound? Zones,
    IReadOnlyList<PlacesFound> Places) : BatFact, IComputedOpinion
{
    public Grade? Grade => Graded?.Given;

    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> RestsOn =>
        new[]
        {
            Examinations, Sources, Photographs, Comparisons, Treatments, Seasons?.Dated ?? [], [.. Places.Select(p => p.List)], Zones is null ? [] : [Zones.Baseline],
        }.SelectMany(n => n).Distinct();

    // The zones themselves, not only the version after them: a dossier carries what is cited, and a zone is one entry.
    public override IEnumerable<Reference> Cites =>
        new[] { Rubric, HabitFile, ComparisonFile }.OfType<Reference>().Concat(Zones?.Met.Select(m => m.Zone) ?? []).Distinct();

    public override IEnumerable<long> Settles => Supersedes;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) => ComputedRules.Refuse(
        this, bat, entry.Envelope.By, cited,
        [.. Seasons?.RefuseNamed(bat) ?? [], .. Zones?.Refuse(this, bat, cited) ?? [], .. PlacesFound.Refuse(Places, this, bat)]);

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat.Add(entry, this, RestsOn);
}
