namespace Custody.Bats;

/// <summary>Why an opinion no longer stands.</summary>
public enum OpinionWithdrawalGround
{
    NewEvidence,
    SourceFell,
    ExaminationFell,
    TreatmentFound,
    AnotherBat,
    Mistake,
    InterestFound,
    Other,
    NotStated,
}

/// <summary>Withdraw an opinion of one's own house. That it was given still shows.</summary>
/// <param name="Opinion">Number of the <c>OpinionGiven</c>.</param>
public sealed record WithdrawOpinion(long Opinion, OpinionWithdrawalGround Ground, string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new OpinionWithdrawn(Opinion, Ground, Reason)];
}

/// <summary>An opinion given here was withdrawn; whatever rests on it becomes open work.</summary>
public sealed record OpinionWithdrawn(long Opinion, OpinionWithdrawalGround Ground, Withheld<string>? Reason) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override IEnumerable<long> Fells => [Opinion];
    public override IEnumerable<long> Settles => [Opinion];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Opinions.Refuse(bat, [Opinion]) is { } refused) return [refused];
        var opinion = bat.Opinions.ByEntry[Opinion];
        if (opinion.Origin == OpinionOrigin.Reported)
            return [new("not-ours", "An opinion reported from elsewhere is not withdrawn here.", "Report that its giver withdrew it.")];
        return entry.Envelope.By is { } by && (by == opinion.House || opinion.Examiners.Contains(by)) ? []
            : [new("not-the-giver", "Only its examiner or its house withdraws an opinion.", "Have them withdraw it, or record a reply.")];
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) =>
        bat with { Opinions = bat.Opinions.With(Opinion, o => o with { Withdrawn = entry.N }) };
}
