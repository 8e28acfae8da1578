namespace Custody.Bats;

/// <summary>Say that an entry of this bat restates what was wrongly recorded on another one. Comes last: after the correction there and the
/// act here.</summary>
/// <param name="Entry">Number of the entry here.</param>
/// <param name="Correction">The <c>EntryCorrected</c> on the other bat.</param>
public sealed record LinkRestated(long Entry, Reference Correction) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new EntryRestated(Entry, Correction)];
}

/// <summary>The link back: this entry was first recorded on another bat by mistake.</summary>
public sealed record EntryRestated(long Restated, Reference Correction) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override IEnumerable<Reference> Cites => [Correction];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Restated < 1 || Restated > bat.N || bat.Corrections.IsVoid(Restated))
            yield return new("no-such-entry", $"Entry {Restated} does not stand on this bat.", "Record the act here first.");
        if (cited.Find(Correction)?.Fact is not EntryCorrected { Kind: CorrectionKind.ConcernsAnotherBat } correction
            || correction.OtherBat?.Stream != entry.Envelope.Stream)
            yield return new("no-such-correction", "No correction on another bat says that it concerns this one.", "Correct the entry on that bat first.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat;
}
