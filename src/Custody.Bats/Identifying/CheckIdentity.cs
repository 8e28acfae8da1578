using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What a comparison of the bat with its baseline came to. <see cref="NotChecked"/> is only said at a receipt.</summary>
public enum IdentityResult
{
    NotChecked,
    Same,
    SameButChanged,
    CannotTell,
    Different,
}

/// <summary>When the bat was compared.</summary>
public enum CheckOccasion
{
    Receipt,
    BeforeRelease,
    Examination,
    StockTaking,
    MixUp,
    Other,
}

/// <summary>Compare the bat in hand with one of its baselines.</summary>
/// <param name="Baseline">Entry of the baseline it was compared with.</param>
/// <param name="Length">As measured today; null when not measured. The same for <paramref name="Weight"/>.</param>
public sealed record CheckIdentity(
    long Baseline, IdentityResult Result, CheckOccasion Occasion, Quantity? Length, Quantity? Weight,
    IReadOnlyList<PictureHash>? Photographs, string? Note) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new IdentityChecked(Baseline, Result, Occasion, Length, Weight, Photographs ?? [], Note)];
}

/// <summary>The bat was compared with a baseline. Another piece of wood is a finding like any other, and moves nothing by itself.</summary>
public sealed record IdentityChecked(
    long Baseline, IdentityResult Result, CheckOccasion Occasion, Quantity? Length, Quantity? Weight,
    IReadOnlyList<PictureHash> Photographs, Withheld<string>? Note) : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> RestsOn => [Baseline];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Grounds.Refuse(bat, bat.Identity.Baselines, Baseline, "baseline") is { } refused) yield return refused;
        if (Result == IdentityResult.NotChecked)
            yield return new("nothing-checked", "A check that was not made is not recorded.", "Record it once it is made.");
        foreach (var refusal in Measured.Refuse(Length, Weight)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) =>
        bat with { Identity = bat.Identity.After(entry.N, new IdentityCheck(Baseline, Result, Occasion)) };
}
