namespace Custody.Bats;

/// <summary>Take an occasion out of the counts to come; versions already made keep it.</summary>
/// <param name="Occasion">Number of the <c>OccasionRecorded</c>.</param>
public sealed record WithdrawOccasion(long Occasion, SourceWithdrawalGround Ground, string? Reason) : HabitCommand
{
    public override IReadOnlyList<Fact<HabitFile>> Produce(HabitFile file, Introductions people) => [new OccasionWithdrawn(Occasion, Ground, Reason)];
}

/// <summary>An occasion was withdrawn.</summary>
public sealed record OccasionWithdrawn(long Occasion, SourceWithdrawalGround Ground, Withheld<string>? Reason) : HabitFact
{
    protected override IEnumerable<Refusal> PermitOn(HabitFile file, Entry entry, ICited cited) =>
        Bats.Occasion.RefuseWithdrawal(file.Occasions, Occasion) is { } refused ? [refused] : [];

    public override HabitFile Apply(HabitFile file, Entry entry) =>
        file with { Occasions = file.Occasions.SetItem(Occasion, file.Occasions[Occasion] with { Withdrawn = entry.N }) };
}
