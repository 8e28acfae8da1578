namespace Custody.Bats;

/// <summary>What an opinion rests on, by entry number on this bat.</summary>
/// <param name="Examinations">Numbers of <c>ExaminationOpened</c>, each closed.</param>
/// <param name="Comparisons">Numbers of <c>PictureComparisonOpened</c>, each with a result.</param>
public sealed record OpinionGrounds(
    IReadOnlyList<long> Examinations, IReadOnlyList<long>? Sources = null, IReadOnlyList<long>? Photographs = null,
    IReadOnlyList<long>? Comparisons = null, IReadOnlyList<long>? Treatments = null);

/// <summary>Give an opinion of a house.</summary>
/// <param name="Player">The player the propositions speak of, when they do.</param>
/// <param name="Rubric">The <c>RubricPublished</c> the grade is made under; needed for a grade.</param>
/// <param name="HabitFile">The <c>CountsVersioned</c> of the habit file used.</param>
/// <param name="ComparisonFile">The <c>ComparisonCountsVersioned</c> used.</param>
/// <param name="Supersedes">Earlier opinions of this house it takes the place of.</param>
public sealed record GiveOpinion(
    PartyId House, IReadOnlyList<PartyId> Examiners, PartyId? Player, IReadOnlyList<Weighing> Pairs, IReadOnlyList<SeasonRun>? Seasons,
    Grade? Grade, Reference? Rubric, IReadOnlyList<DepartureStated>? Departures, OpinionGrounds Grounds, Reference? HabitFile,
    Reference? ComparisonFile, IReadOnlyList<long>? Supersedes, PartyId AskedBy, PartyId? PaidBy, FeeTerms Fee,
    IReadOnlyList<DeclaredInterest>? Interests, string? Statement, string? Reasons) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new OpinionGiven(
            people.Of(House, Role.House), [.. Examiners.Select(e => people.Of(e, Role.Examiner))], people.OfMaybe(Player, Role.Player),
            Pairs, Seasons ?? [], Grade, Rubric,
            Numbered.By('d', (Departures ?? []).Select(d => new Departure(d.Axis, d.Ground, d.Reason))),
            Grounds.Examinations, Grounds.Sources ?? [], Grounds.Photographs ?? [], Grounds.Comparisons ?? [], Grounds.Treatments ?? [],
            HabitFile, ComparisonFile, Supersedes ?? [], people.Of(AskedBy, Role.Requester), people.OfMaybe(PaidBy, Role.Payer), Fee,
            Interests ?? [], Statement, Reasons),
    ];
}

/// <summary>An opinion of a house, with the numbers that were before the examiner (rule 7) as the examiner states them.</summary>
public sealed record OpinionGiven(
    Alias House, IReadOnlyList<Alias> Examiners, Alias? Player, IReadOnlyList<Weighing> Pairs, IReadOnlyList<SeasonRun> Seasons,
    Grade? Grade, Reference? Rubric, Keyed<Departure> Departures, IReadOnlyList<long> Examinations, IReadOnlyList<long> Sources,
    IReadOnlyList<long> Photographs, IReadOnlyList<long> Comparisons, IReadOnlyList<long> Treatments, Reference? HabitFile,
    Reference? ComparisonFile, IReadOnlyList<long> Supersedes, Alias AskedBy, Alias? PaidBy, FeeTerms Fee,
    IReadOnlyList<DeclaredInterest> Interests, Withheld<string>? Statement, Withheld<string>? Reasons) : BatFact, IGivenOpinion
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> RestsOn => [.. Examinations, .. Sources, .. Photographs, .. Comparisons, .. Treatments];

    public override IEnumerable<Reference> Cites => new[] { Rubric, HabitFile, ComparisonFile }.OfType<Reference>();

    public override IEnumerable<long> Settles => Supersedes;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
    [
        .. OpinionRules.Giver(this, entry.Envelope.By), .. OpinionRules.Grounds(this, bat, cited), .. Weighing.Refuse(Pairs, computedHere: false),
        .. OpinionRules.Terms(this, bat), .. OpinionRules.InOrder(Seasons), .. OpinionRules.Graded(this, bat, cited),
    ];

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat.Add(entry, this, RestsOn);
}
