namespace Custody.Bats;

/// <summary>What was noticed about a label.</summary>
public enum LabelNotice
{
    OnAnotherBat,
    Detached,
    Copied,
    Altered,
    Damaged,
    Missing,
    NotIssuedHere,
}

/// <summary>Report something noticed about a label, by anyone.</summary>
/// <param name="Label">Number of its <c>LabelIssued</c>; null when it was not issued for this bat.</param>
/// <param name="Picture">Released picture of it.</param>
public sealed record ReportLabel(long? Label, LabelNotice Notice, PictureHash? Picture, string? Text, string? Place) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new LabelReported(Label, Notice, Picture, Text, Place)];
}

/// <summary>Something was noticed about a label. A report: also of a label voided long ago.</summary>
public sealed record LabelReported(
    long? Label, LabelNotice Notice, PictureHash? Picture, Withheld<string>? Text, Withheld<string>? Place) : BatFact
{
    public override bool IsReport => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Label is { } n && !bat.Labels.ByEntry.ContainsKey(n))
            yield return new("no-such-label", $"Entry {n} of this bat is no label.", "Name the label's entry, or none when it was not issued here.");
        if ((Label is null) != (Notice == LabelNotice.NotIssuedHere))
            yield return new("label-not-named", "A label issued here is named by its entry; one that was not has none.",
                "Name it, or say it was not issued here.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Labels = Label is { } n
            ? bat.Labels.With(n, l => l with { Reports = l.Reports.Add(entry.N) })
            : bat.Labels with { ReportsOfStrangers = bat.Labels.ReportsOfStrangers.Add(entry.N) },
    };
}
