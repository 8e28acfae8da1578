namespace Custody.Bats;

/// <summary>Look again at an entry that became open work, and let it stand as it is.</summary>
/// <param name="Entry">Number of the entry that is open work.</param>
/// <param name="Cause">When a source of a habit file or comparison file fell under it: the entry that withdrew it there.</param>
public sealed record ConfirmEntry(long Entry, string? Reason, Reference? Cause = null) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [Cause is null ? new EntryConfirmed(Entry, Reason) : new EntryConfirmed2(Entry, Cause, Reason)];
}

/// <summary>An entry stands although something under it fell.</summary>
public sealed record EntryConfirmed(long Confirmed, Withheld<string>? Reason) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override IEnumerable<long> Settles => [Confirmed];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (!bat.Corrections.Open.Any(item => item.Entry == Confirmed))
            yield return new("not-open-work", $"Entry {Confirmed} is not open work.", "Confirm only what is open.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat;
}

/// <summary>An entry stands although a source fell in a file that it rests on.</summary>
/// <param name="Cause">The entry of the file that withdrew the source.</param>
[Shape("EntryConfirmed.2")]
public sealed record EntryConfirmed2(long Confirmed, Reference Cause, Withheld<string>? Reason) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override IEnumerable<long> Settles => [Confirmed];
    public override IEnumerable<Reference> Cites => [Cause];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
        FileRipple.Refuse(bat, Confirmed, Cause, cited) is { } refused ? [refused] : [];

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat;
}
