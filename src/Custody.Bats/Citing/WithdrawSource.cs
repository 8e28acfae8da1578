namespace Custody.Bats;

/// <summary>Why a source no longer counts.</summary>
public enum SourceWithdrawalGround
{
    NotGenuine,
    AnotherBat,
    AnotherPerson,
    AnotherDate,
    CopyOfAnother,
    WrongReading,
    CannotBeFound,
    Other,
}

/// <summary>Withdraw a source: whatever rests on it becomes open work.</summary>
/// <param name="Source">Number of the <c>SourceCited</c>.</param>
public sealed record WithdrawSource(long Source, SourceWithdrawalGround Ground, string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new SourceWithdrawn(Source, Ground, Reason)];
}

/// <summary>A source was withdrawn. It stays readable.</summary>
public sealed record SourceWithdrawn(long Source, SourceWithdrawalGround Ground, Withheld<string>? Reason) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override IEnumerable<long> Fells => [Source];
    public override IEnumerable<long> Settles => [Source];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
        Sources.Refuse(bat, [Source]) is { } refused ? [refused] : [];

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Sources = bat.Sources with
        {
            ByEntry = bat.Sources.ByEntry.SetItem(Source, bat.Sources.ByEntry[Source] with { Withdrawn = entry.N }),
        },
    };
}
