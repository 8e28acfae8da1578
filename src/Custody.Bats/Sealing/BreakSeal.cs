namespace Custody.Bats;

/// <summary>Why a seal is no longer whole.</summary>
public enum SealBreak
{
    ToExamine,
    ToPhotograph,
    ToTreat,
    ToRepack,
    OnReceipt,
    FoundBroken,
    FoundMissing,
    FoundTampered,
}

/// <summary>Record that a seal was opened, or found no longer whole. Whoever sees it may record it.</summary>
/// <param name="Seal">Entry of the <c>SealApplied</c>.</param>
public sealed record BreakSeal(long Seal, SealBreak Reason, IReadOnlyList<PictureHash>? Photographs, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new SealBroken(Seal, Reason, Photographs ?? [], Explanation)];
}

/// <summary>The seal is no longer whole.</summary>
public sealed record SealBroken(
    long Seal, SealBreak Reason, IReadOnlyList<PictureHash> Photographs, Withheld<string>? Explanation) : BatFact
{
    public override bool AllowedAfterTheEnd => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Grounds.Refuse(bat, bat.Seals.ByEntry, Seal, "seal") is { } refused)
            yield return refused;
        else if (bat.Seals.ByEntry[Seal].BrokenBy is { } n && !bat.Corrections.IsVoid(n))
            yield return new("seal-broken", $"That seal is recorded as broken (entry {n}).",
                "Nothing more is needed, or name the seal that was put on since.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Seals = bat.Seals with { ByEntry = bat.Seals.ByEntry.SetItem(Seal, bat.Seals.ByEntry[Seal] with { BrokenBy = entry.N }) },
    };
}
