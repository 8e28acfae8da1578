namespace Custody.Bats;

/// <summary>Give an opinion of a house whose numbers are computed. They are stated here with everything they were computed from, as the
/// examiner had them before him; whoever holds the ledger computes them again.</summary>
/// <param name="Rubric">The <c>RubricPublished</c> whose bands pick the words and whose rules give the grade.</param>
/// <param name="Inputs">What computed weights rest on besides the two files.</param>
/// <param name="HabitFile">The <c>CountsVersioned</c> of the habit file used.</param>
/// <param name="ComparisonFile">The <c>ComparisonCountsVersioned</c> used.</param>
/// <param name="Supersedes">Earlier opinions of this house it takes the place of.</param>
/// <param name="Zones">How placed findings meet the usual zones of the habit file cited.</param>
/// <param name="Places">Lists of where the bat could have been that it rests on.</param>
public sealed record GiveComputedOpinion(
    PartyId House, IReadOnlyList<PartyId> Examiners, PartyId? Player, IReadOnlyList<Weighing> Pairs, WeightInputs? Inputs, SeasonsFound? Seasons,
    GradeGiven? Graded, Reference? Rubric, IReadOnlyList<DepartureStated>? Departures, OpinionGrounds Grounds, Reference? HabitFile,
    Reference? ComparisonFile, IReadOnlyList<long>? Supersedes, PartyId AskedBy, PartyId? PaidBy, FeeTerms Fee,
    IReadOnlyList<DeclaredInterest>? Interests, string? Statement, string? Reasons, ZonesFound? Zones = null, IReadOnlyList<PlacesFound>? Places = null) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [NeedsThirdShape ? Third(people) : Second(people)];

    // What the earlier shape can say is said in it: a checker of that time still knows it.
    bool NeedsThirdShape => Zones is not null || Places is { Count: > 0 } || Seasons is { Method: SeasonsMethod.Stated, Dated.Count: > 0 };

    OpinionGiven2 Second(Introductions people) => new(
        people.Of(House, Role.House), [.. Examiners.Select(e => people.Of(e, Role.Examiner))], people.OfMaybe(Player, Role.Player),
        Pairs, Inputs, Seasons, Graded, Rubric, Stated(), Grounds.Examinations, Grounds.Sources ?? [], Grounds.Photographs ?? [], Grounds.Comparisons ?? [],
        Grounds.Treatments ?? [], HabitFile, ComparisonFile, Supersedes ?? [], people.Of(AskedBy, Role.Requester), people.OfMaybe(PaidBy, Role.Payer), Fee,
        Interests ?? [], Statement, Reasons);

    OpinionGiven3 Third(Introductions people) => new(
        people.Of(House, Role.House), [.. Examiners.Select(e => people.Of(e, Role.Examiner))], people.OfMaybe(Player, Role.Player),
        Pairs, Inputs, Seasons, Graded, Rubric, Stated(), Grounds.Examinations, Grounds.Sources ?? [], Grounds.Photographs ?? [], Grounds.Comparisons ?? [],
        Grounds.Treatments ?? [], HabitFile, ComparisonFile, Supersedes ?? [], people.Of(AskedBy, Role.Requester), people.OfMaybe(PaidBy, Role.Payer), Fee,
        Interests ?? [], Statement, Reasons, Zones, Places ?? []);

    Keyed<Departure> Stated() => Numbered.By('d', (Departures ?? []).Select(d => new Departure(d.Axis, d.Ground, d.Reason)));
}

/// <summary>An opinion of a house, with computed numbers (rule 7: the numbers that were before the examiner) and all they rest on.</summary>
[Shape("OpinionGiven.2")]
public sealed record OpinionGiven2(
    Alias House, IReadOnlyList<Alias> Examiners, Alias? Player, IReadOnlyList<Weighing> Pairs, WeightInputs? Inputs, SeasonsFound? Seasons,
    GradeGiven? Graded, Reference? Rubric, Keyed<Departure> Departures, IReadOnlyList<long> Examinations, IReadOnlyList<long> Sources,
    IReadOnlyList<long> Photographs, IReadOnlyList<long> Comparisons, IReadOnlyList<long> Treatments, Reference? HabitFile,
    Reference? ComparisonFile, IReadOnlyList<long> Supersedes, Alias AskedBy, Alias? PaidBy, FeeTerms Fee,
    IReadOnlyList<DeclaredInterest> Interests, Withheld<string>? Statement, Withheld<string>? Reasons) : BatFact, IComputedOpinion
{
    public Grade? Grade => Graded?.Given;

    ZonesFound? IComputedOpinion.Zones => null;

    IReadOnlyList<PlacesFound> IComputedOpinion.Places => [];

    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> RestsOn =>
        new[] { Examinations, Sources, Photographs, Comparisons, Treatments, Seasons?.Dated ?? [] }.SelectMany(n => n).Distinct();

    public override IEnumerable<Reference> Cites => new[] { Rubric, HabitFile, ComparisonFile }.OfType<Reference>();

    public override IEnumerable<long> Settles => Supersedes;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
        ComputedRules.Refuse(this, bat, entry.Envelope.By, cited, [.. Seasons?.Refuse(bat) ?? []]);

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat.Add(entry, this, RestsOn);
}
