using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What a reported opinion concludes, as far as the report tells.</summary>
public enum ReportedConclusion
{
    Supports,
    SupportsAlternative,
    Neither,
    NotTold,
}

/// <summary>What is irregular about a reported opinion.</summary>
public enum OpinionIrregularity
{
    Undated,
    Unsigned,
    CopyOnly,
    Altered,
    ExaminerNotNamed,
    BatNotDescribed,
    DescriptionDiffers,
    Incomplete,
    ContradictsAnother,
    Other,
}

/// <summary>Report an opinion that somebody else gave, or that was given before this ledger. When it was given is the occurrence's date.</summary>
/// <param name="House">Whoever gave it.</param>
/// <param name="Basis">What the report rests on.</param>
/// <param name="DocumentHash">SHA-256 of the paper, when there is one.</param>
public sealed record ReportOpinion(
    PartyId House, PartyId? Examiner, PartyId? Player, PropositionLevel? Level, ReportedConclusion Conclusion, AssertionBasis Basis,
    FeeTerms Fee, IReadOnlyList<DeclaredInterest>? Interests, IReadOnlyList<OpinionIrregularity>? Irregularities,
    IReadOnlyList<PictureHash>? Pictures, string? Text, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new OpinionReported(
            people.Of(House, Role.House), people.OfMaybe(Examiner, Role.Examiner), people.OfMaybe(Player, Role.Player), Level, Conclusion, Basis,
            Fee, Interests ?? [], Irregularities ?? [], Pictures ?? [], Text, DocumentHash),
    ];
}

/// <summary>An opinion given elsewhere or before was reported. Never this house's own.</summary>
public sealed record OpinionReported(
    Alias House, Alias? Examiner, Alias? Player, PropositionLevel? Level, ReportedConclusion Conclusion, AssertionBasis Basis, FeeTerms Fee,
    IReadOnlyList<DeclaredInterest> Interests, IReadOnlyList<OpinionIrregularity> Irregularities, IReadOnlyList<PictureHash> Pictures,
    Withheld<string>? Text, Withheld<string>? DocumentHash) : BatFact
{
    public override bool IsReport => true;

    // Always recordable: a report that contradicts everything else is still a fact.
    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) => [];

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Opinions = bat.Opinions.Add(entry.N, new Opinion(
            OpinionOrigin.Reported, House, DayGiven(entry.Envelope), Fee, Grade: null, PicturesOnly: false, Withdrawn: null)
        {
            Examiners = Examiner is { } examiner ? [examiner] : [],
            Interests = [.. Interests],
            Level = Level,
            Conclusion = Conclusion,
        }),
    };

    static long DayGiven(Envelope at) =>
        at.Occurred is { EarliestStart: { IsDay: true } start } ? start.Day.Number
        : at.Occurred is { LatestEnd: { IsDay: true } end } ? end.Day.Number
        : Day.Of(DateOnly.FromDateTime(at.Recorded.UtcDateTime)).Number;
}
