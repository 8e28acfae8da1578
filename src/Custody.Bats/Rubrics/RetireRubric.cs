namespace Custody.Bats;

/// <summary>Why a version of a rubric is no longer used.</summary>
public enum RetirementGround
{
    Replaced,
    Mistaken,
    Unclear,
    Other,
}

/// <summary>Retire a version: new opinions should not cite it; old ones keep it.</summary>
public sealed record RetireRubric(long Version, RetirementGround Ground, string? Reason) : RubricCommand
{
    public override IReadOnlyList<Fact<RubricFile>> Produce(RubricFile rubric, Introductions people) => [new RubricRetired(Version, Ground, Reason)];
}

/// <summary>A version of a rubric was retired.</summary>
public sealed record RubricRetired(long Version, RetirementGround Ground, Withheld<string>? Reason) : RubricFact
{
    public override IEnumerable<Refusal> Permit(RubricFile rubric, Entry entry, ICited cited) =>
        !rubric.Versions.TryGetValue(Version, out var version) ? [new("no-such-version", "There is no such version.", "Name a published version.")]
        : version.Retired is not null ? [new("retired-already", "This version is retired.", "Nothing is left to do.")]
        : [];

    public override RubricFile Apply(RubricFile rubric, Entry entry) =>
        rubric with { Versions = rubric.Versions.SetItem(Version, rubric.Versions[Version] with { Retired = entry.N }) };
}
