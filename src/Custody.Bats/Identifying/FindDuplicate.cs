namespace Custody.Bats;

/// <summary>Say, on the older of two records, that a younger one is of the same bat. Comes first; the younger record then declares
/// itself the same (<see cref="DeclareSameBat"/>), citing this entry.</summary>
/// <param name="Younger">Registration of the younger record.</param>
public sealed record FindDuplicate(Reference Younger, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new DuplicateFound(Younger, Explanation)];
}

/// <summary>A younger record of this bat was found. The older stream goes on.</summary>
public sealed record DuplicateFound(Reference Younger, Withheld<string>? Explanation) : BatFact
{
    public override IEnumerable<Reference> Cites => [Younger];
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        Refusal[] link = [.. OtherRecord.Refuse<BatRegistered>(entry, Younger, cited)];
        foreach (var refusal in link) yield return refusal;
        if (link.Length == 0 && cited.Find(Younger)!.Envelope.Recorded < bat.Registration!.Recorded)
            yield return new("not-the-older", "The other record is older than this one.", "Record it on the older one, which goes on.");
        if (bat.Identity.Duplicates.Values.Any(d => !d.Withdrawn && d.Other == Younger))
            yield return new("duplicate-known", "That record is already found to be a duplicate.", "Nothing more is needed here.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Identity = bat.Identity with { Duplicates = bat.Identity.Duplicates.Add(entry.N, new Duplicate(Younger, Withdrawn: false)) },
    };
}

/// <summary>Take back, on the older record, that another is of the same bat. If the younger had declared itself the same, reopen it first
/// (<see cref="ReopenRecord"/>) and cite that entry here.</summary>
/// <param name="Duplicate">Entry of the <c>DuplicateFound</c>.</param>
/// <param name="Reopened">The younger record's <c>RecordReopened</c>; null when it never declared itself the same.</param>
public sealed record WithdrawDuplicate(long Duplicate, Reference? Reopened, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new DuplicateWithdrawn(Duplicate, Reopened, Explanation)];
}

/// <summary>The two records are of two bats after all.</summary>
public sealed record DuplicateWithdrawn(long Duplicate, Reference? Reopened, Withheld<string>? Explanation) : BatFact
{
    public override IEnumerable<Reference> Cites => Reopened is null ? [] : [Reopened];
    public override IEnumerable<long> Fells => [Duplicate];
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        var known = bat.Identity.Duplicates.GetValueOrDefault(Duplicate);
        if (Grounds.Refuse(bat, bat.Identity.Duplicates, Duplicate, "duplicate") is { } refused) yield return refused;
        if (known is { Withdrawn: true })
            yield return new("duplicate-withdrawn", "That was withdrawn already.", "Nothing more is needed here.");
        if (Reopened is null) yield break;
        Refusal[] link = [.. OtherRecord.Refuse<RecordReopened>(entry, Reopened, cited)];
        foreach (var refusal in link) yield return refusal;
        if (link.Length == 0 && known is not null && Reopened.Stream != known.Other.Stream)
            yield return new("another-record", "The reopened record is not the one that was found to be a duplicate.",
                "Cite the younger record.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Identity = bat.Identity with
        {
            Duplicates = bat.Identity.Duplicates.SetItem(Duplicate, bat.Identity.Duplicates[Duplicate] with { Withdrawn = true }),
        },
    };
}
