namespace Custody.Bats;

/// <summary>Why a registration should never have been made.</summary>
public enum VoidReason
{
    NotABat,
    NeverArrived,
    WrongItem,
    RecordedInError,
}

/// <summary>Void a registration that should not have been made. Two records of one bat are not voided but declared the same.</summary>
public sealed record VoidRegistration(VoidReason Reason, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new RegistrationVoided(Reason, Explanation)];
}

/// <summary>The registration never should have been; the record ends and stays readable. Whatever was recorded on it becomes open work
/// where it rests on the registration.</summary>
public sealed record RegistrationVoided(VoidReason Reason, Withheld<string>? Explanation) : BatFact
{
    public override IEnumerable<long> Fells => [1];
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (entry.Envelope.By is not { } by || (by != bat.Registration!.By && by != bat.Keeping.Custodian))
            yield return new("not-yours-to-void", "A registration is voided by who made it, or by who keeps what was registered.",
                "Ask one of them.");
        // Once others came to hold or own it through this record, it cannot be as if it had never been.
        if (bat.Title.Since > 1 || bat.Keeping.Since > 1)
            yield return new("has-moved-since", "Title or custody has moved since the registration.",
                "Correct the single entries, or declare it the same as another bat.");
        foreach (var refusal in Unfinished.RefuseOn(bat)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with { Registration = bat.Registration! with { Voided = true } };
}
