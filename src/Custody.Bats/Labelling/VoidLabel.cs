namespace Custody.Bats;

/// <summary>Void a label without a new one.</summary>
/// <param name="Label">Number of the <c>LabelIssued</c>.</param>
public sealed record VoidLabel(long Label, LabelEndGround Ground, string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new LabelVoided(Label, Ground, Reason)];
}

/// <summary>A label was voided; whoever scans it is told so.</summary>
public sealed record LabelVoided(long Label, LabelEndGround Ground, Withheld<string>? Reason) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override IEnumerable<long> Fells => [Label];
    public override IEnumerable<long> Settles => [Label];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
        Labels.RefuseEnded(bat, Label) is { } refused ? [refused] : [];

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with { Labels = bat.Labels.With(Label, l => l with { Ended = entry.N }) };
}
