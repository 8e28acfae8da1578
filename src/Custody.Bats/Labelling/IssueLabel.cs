namespace Custody.Bats;

/// <summary>What the label is printed on.</summary>
public enum LabelForm
{
    Card,
    AdhesiveSheet,
    Plastic,
    Fabric,
}

/// <summary>Where it is fixed. Never on the wood.</summary>
public enum LabelPlace
{
    TiedTag,
    Sleeve,
    Box,
}

/// <summary>Issue a label for the bat.</summary>
/// <param name="Host">Host name in the label's address, without scheme.</param>
/// <param name="Opinions">Numbers of opinions the printed label speaks of: when one falls, so does what the label says.</param>
public sealed record IssueLabel(LabelForm Form, LabelPlace Affixed, string Host, IReadOnlyList<long>? Opinions) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new LabelIssued(bat.Labels.NextSerial, Form, Affixed, Opinions ?? [], Host)];
}

/// <summary>A label was issued. Its token is the beginning of this entry's hash, so the entry cannot hold it.</summary>
/// <param name="Serial">1 for the bat's first label, and so on.</param>
/// <param name="Host">Withheld like every name; the label itself shows it.</param>
public sealed record LabelIssued(long Serial, LabelForm Form, LabelPlace Affixed, IReadOnlyList<long> Opinions, Withheld<string>? Host) : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> RestsOn => Opinions;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Serial != bat.Labels.NextSerial)
            yield return new("label-serial", "The serial does not follow the bat's last label.", "Read the bat again and retry.");
        foreach (var refusal in bat.RefuseWhileMixedUp()) yield return refusal;
        if (Bats.Opinions.Refuse(bat, Opinions) is { } refused) yield return refused;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Labels = bat.Labels with
        {
            ByEntry = bat.Labels.ByEntry.Add(entry.N, new Label(Serial, Form, Affixed, ReplacedBy: null, Ended: null)),
        },
    };
}
