namespace Custody.Bats;

/// <summary>Why a label no longer serves.</summary>
public enum LabelEndGround
{
    Lost,
    Damaged,
    Copied,
    Moved,
    Misprinted,
    OpinionChanged,
    MixUp,
    Other,
}

/// <summary>Replace a label: issues the new one, then ends the old one.</summary>
/// <param name="Label">Number of the old label's <c>LabelIssued</c>.</param>
public sealed record ReplaceLabel(
    long Label, LabelEndGround Ground, LabelForm Form, LabelPlace Affixed, string Host, IReadOnlyList<long>? Opinions, string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new LabelIssued(bat.Labels.NextSerial, Form, Affixed, Opinions ?? [], Host),
        new LabelReplaced(Label, bat.N + 1, Ground, Reason),
    ];
}

/// <summary>A label was replaced by a later one.</summary>
/// <param name="Label">Number of the old label's <c>LabelIssued</c>.</param>
/// <param name="With">Number of the new label's <c>LabelIssued</c>.</param>
public sealed record LabelReplaced(long Label, long With, LabelEndGround Ground, Withheld<string>? Reason) : BatFact
{
    public override IEnumerable<long> Settles => [Label];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
        (Labels.RefuseEnded(bat, Label) ?? Labels.RefuseEnded(bat, With)) is { } refused ? [refused]
        : With <= Label ? [new("label-not-later", "A label is replaced by a later one.", "Issue the new label first.")]
        : [];

    protected override Bat ApplyTo(Bat bat, Entry entry) =>
        bat with { Labels = bat.Labels.With(Label, l => l with { ReplacedBy = With, Ended = entry.N }) };
}
