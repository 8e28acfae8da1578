namespace Custody.Bats;

/// <summary>Give an opinion of a house whose numbers are computed. They are stated here with everything they were computed from, as the
/// examiner had them before him; whoever holds the ledger computes them again.</summary>
/// <param name="Rubric">The <c>RubricPublished</c> whose bands pick the words and whose rules give the grade.</param>
/// <param name="Inputs">What computed weights rest on besides the two files.</param>
/// <param name="HabitFile">The <c>CountsVersioned</c> of the habit file used.</param>
/// <param name="ComparisonFile">The <c>ComparisonCountsVersioned</c> used.</param>
/// <param name="Supersedes">Earlier opinions of this house it takes the place of.</param>
public sealed record GiveComputedOpinion(
    PartyId House, IReadOnlyList<PartyId> Examiners, PartyId? Player, IReadOnlyList<Weighing> Pairs, WeightInputs? Inputs, SeasonsFound? Seasons,
    GradeGiven? Graded, Reference? Rubric, IReadOnlyList<DepartureStated>? Departures, OpinionGrounds Grounds, Reference? HabitFile,
    Reference? ComparisonFile, IReadOnlyList<long>? Supersedes, PartyId AskedBy, PartyId? PaidBy, FeeTerms Fee,
    IReadOnlyList<DeclaredInterest>? Interests, string? Statement, string? Reasons) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new OpinionGiven2(
            people.Of(House, Role.House), [.. Examiners.Select(e => people.Of(e, Role.Examiner))], people.OfMaybe(Player, Role.Player),
            Pairs, Inputs, Seasons, Graded, Rubric, Numbered.By('d', (Departures ?? []).Select(d => new Departure(d.Axis, d.Ground, d.Reason))),
            Grounds.Examinations, Grounds.Sources ?? [], Grounds.Photographs ?? [], Grounds.Comparisons ?? [], Grounds.Treatments ?? [],
            HabitFile, ComparisonFile, Supersedes ?? [], people.Of(AskedBy, Role.Requester), people.OfMaybe(PaidBy, Role.Payer), Fee,
            Interests ?? [], Statement, Reasons),
    ];
}

/// <summary>An opinion of a house, with computed numbers (rule 7: the numbers that were before the examiner) and all they rest on.</summary>
[Shape("OpinionGiven.2")]
public sealed record OpinionGiven2(
    Alias House, IReadOnlyList<Alias> Examiners, Alias? Player, IReadOnlyList<Weighing> Pairs, WeightInputs? Inputs, SeasonsFound? Seasons,
    GradeGiven? Graded, Reference? Rubric, Keyed<Departure> Departures, IReadOnlyList<long> Examinations, IReadOnlyList<long> Sources,
    IReadOnlyList<long> Photographs, IReadOnlyList<long> Comparisons, IReadOnlyList<long> Treatments, Reference? HabitFile,
    Reference? ComparisonFile, IReadOnlyList<long> Supersedes, Alias AskedBy, Alias? PaidBy, FeeTerms Fee,
    IReadOnlyList<DeclaredInterest> Interests, Withheld<string>? Statement, Withheld<string>? Reasons) : BatFact, IGivenOpinion
{
    public Grade? Grade => Graded?.Given;

    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> RestsOn =>
        new[] { Examinations, Sources, Photographs, Comparisons, Treatments, Seasons?.Dated ?? [] }.SelectMany(n => n).Distinct();

    public override IEnumerable<Reference> Cites => new[] { Rubric, HabitFile, ComparisonFile }.OfType<Reference>();

    public override IEnumerable<long> Settles => Supersedes;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        Refusal[] unfit =
        [
            .. OpinionRules.Giver(this, entry.Envelope.By), .. OpinionRules.Grounds(this, bat, cited), .. Weighing.Refuse(Pairs, computedHere: true),
            .. OpinionRules.Terms(this, bat), .. Seasons?.Refuse(bat) ?? [], .. OpinionRules.Graded(this, bat, cited),
        ];
        return unfit.Length > 0 ? unfit : [.. ComputedRules.Inputs(this, bat), .. ComputedRules.Words(this, bat, cited)];
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat.Add(entry, this, RestsOn);
}
