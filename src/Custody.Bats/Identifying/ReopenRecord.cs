namespace Custody.Bats;

/// <summary>Why a record that had ended goes on again.</summary>
public enum ReopenReason
{
    NotTheSameBat,
    FoundIntact,
    PartedAgain,
    RecordedInError,
}

/// <summary>Take back what ended this record: that it is the same bat as another, was divided, joined into a whole, or destroyed.</summary>
/// <param name="Ending">Entry that ended the record.</param>
public sealed record ReopenRecord(long Ending, ReopenReason Reason, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new RecordReopened(Ending, Reason, Explanation)];
}

/// <summary>The record goes on here again; what ended it stays readable.</summary>
public sealed record RecordReopened(long Ending, ReopenReason Reason, Withheld<string>? Explanation) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override IEnumerable<long> Fells => [Ending];
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (bat.Registration is { Voided: true })
            yield return new("registration-voided", "The registration of this bat was voided.", "Register the bat anew.");
        else if (bat.Identity.Ending is not { } ending)
            yield return new("not-ended", "The record of this bat has not ended.", "Nothing needs to be reopened.");
        else if (ending.Entry != Ending)
            yield return new("no-such-ending", $"Entry {Ending} is not what ended this record.", $"Name entry {ending.Entry}.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with { Identity = bat.Identity with { Ending = null } };
}
