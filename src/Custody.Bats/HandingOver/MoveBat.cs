namespace Custody.Bats;

/// <summary>Why the custodian put the bat elsewhere.</summary>
public enum MoveReason
{
    Storage,
    SafeKeeping,
    Display,
    Photography,
    Examination,
    Climate,
    Other,
}

/// <summary>The bat is put elsewhere by its custodian, who keeps it.</summary>
public sealed record MoveBat(MoveReason Reason, string? FromPlace, string? ToPlace, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new BatMoved(Reason, FromPlace, ToPlace, Explanation)];
}

/// <summary>The bat is in another place of the same custodian.</summary>
public sealed record BatMoved(
    MoveReason Reason, Withheld<string>? FromPlace, Withheld<string>? ToPlace, Withheld<string>? Explanation) : BatFact
{
    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (bat.Keeping.InTransit is { } n)
            yield return new("in-transit", $"The bat is in transit (entry {n}).", "Have it received, refused or recalled first.");
        else if (bat.Keeping.Custodian is not { } keeper || !Mandate.ActsFor(bat, entry, keeper, AuthorisedAct.Release))
            yield return new("not-custodian", "Only the custodian, or someone authorised by them, moves the bat.",
                "Ask the custodian to record it.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat;
}
