namespace Custody.Bats;

/// <summary>Look again at an entry that became open work, and let it stand as it is.</summary>
/// <param name="Entry">Number of the entry that is open work.</param>
public sealed record ConfirmEntry(long Entry, string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new EntryConfirmed(Entry, Reason)];
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
