using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>One label, by the number of its <c>LabelIssued</c>.</summary>
/// <param name="ReplacedBy">Number of the <c>LabelIssued</c> that took its place.</param>
/// <param name="Ended">Number of the <c>LabelVoided</c> or <c>LabelReplaced</c> that ended it.</param>
public sealed record Label(long Serial, LabelForm Form, LabelPlace Affixed, long? ReplacedBy, long? Ended)
{
    /// <summary>Numbers of the reports about it.</summary>
    public ImmutableList<long> Reports { get; init; } = [];
}

/// <summary>Labels issued for this bat.</summary>
public sealed record Labels
{
    public ImmutableSortedDictionary<long, Label> ByEntry { get; init; } = ImmutableSortedDictionary<long, Label>.Empty;

    /// <summary>Reports of labels that were not issued here.</summary>
    public ImmutableList<long> ReportsOfStrangers { get; init; } = [];

    /// <summary>The serial the next label of this bat gets.</summary>
    public long NextSerial => ByEntry.IsEmpty ? 1 : ByEntry.Values.Max(l => l.Serial) + 1;

    /// <summary>True while a label was issued, and neither voided nor replaced.</summary>
    public bool IsGood(long n, Corrections corrections) =>
        ByEntry.TryGetValue(n, out var label) && !corrections.IsVoid(n) && !corrections.Stands(label.Ended);

    internal static Refusal? RefuseEnded(Bat bat, long n) =>
        Grounds.Refuse(bat, bat.Labels.ByEntry, n, "label")
        ?? (bat.Labels.IsGood(n, bat.Corrections) ? null : new("label-ended", "This label was voided or replaced.", "Name a label in use."));

    internal Labels With(long n, Func<Label, Label> change) => this with { ByEntry = ByEntry.SetItem(n, change(ByEntry[n])) };
}
