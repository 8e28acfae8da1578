namespace Custody.Bats;

/// <summary>Take an occasion out of the counts to come; versions already made keep it.</summary>
/// <param name="Occasion">Number of the <c>ComparisonOccasionRecorded</c>.</param>
public sealed record WithdrawComparisonOccasion(long Occasion, SourceWithdrawalGround Ground, string? Reason) : ComparisonCommand
{
    public override IReadOnlyList<Fact<ComparisonFile>> Produce(ComparisonFile file, Introductions people) =>
        [new ComparisonOccasionWithdrawn(Occasion, Ground, Reason)];
}

/// <summary>An occasion of the comparison file was withdrawn.</summary>
public sealed record ComparisonOccasionWithdrawn(long Occasion, SourceWithdrawalGround Ground, Withheld<string>? Reason) : ComparisonFact
{
    protected override IEnumerable<Refusal> PermitOn(ComparisonFile file, Entry entry, ICited cited) =>
        Bats.Occasion.RefuseWithdrawal(file.Occasions, Occasion) is { } refused ? [refused] : [];

    public override ComparisonFile Apply(ComparisonFile file, Entry entry) =>
        file with { Occasions = file.Occasions.SetItem(Occasion, file.Occasions[Occasion] with { Withdrawn = entry.N }) };
}
