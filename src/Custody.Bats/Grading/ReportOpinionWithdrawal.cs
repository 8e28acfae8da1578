namespace Custody.Bats;

/// <summary>Report that whoever gave an opinion elsewhere withdrew it.</summary>
/// <param name="Opinion">Number of the <c>OpinionReported</c>.</param>
public sealed record ReportOpinionWithdrawal(
    long Opinion, OpinionWithdrawalGround Ground, AssertionBasis Basis, string? Text, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new OpinionWithdrawalReported(Opinion, Ground, Basis, Text, DocumentHash)];
}

/// <summary>The withdrawal of a reported opinion was reported; whatever rests on it becomes open work.</summary>
public sealed record OpinionWithdrawalReported(
    long Opinion, OpinionWithdrawalGround Ground, AssertionBasis Basis, Withheld<string>? Text, Withheld<string>? DocumentHash) : BatFact
{
    public override bool IsReport => true;
    public override IEnumerable<long> Fells => [Opinion];
    public override IEnumerable<long> Settles => [Opinion];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
        Opinions.Refuse(bat, [Opinion]) is { } refused ? [refused]
        : bat.Opinions.ByEntry[Opinion].Origin == OpinionOrigin.Given
            ? [new("given-here", "An opinion given here is withdrawn here, not reported withdrawn.", "Have its house withdraw it.")]
            : [];

    protected override Bat ApplyTo(Bat bat, Entry entry) =>
        bat with { Opinions = bat.Opinions.With(Opinion, o => o with { Withdrawn = entry.N }) };
}
