using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Open a file of other professionals' bats.</summary>
/// <param name="Period">The seasons it covers (EDTF).</param>
public sealed record OpenComparisonFile(PartyId Keeper, CollectedFrom From, Edtf Period, string? Scope) : ComparisonCommand
{
    public override bool Begins => true;

    public override IReadOnlyList<Fact<ComparisonFile>> Produce(ComparisonFile file, Introductions people) =>
        [new ComparisonFileOpened(people.Of(Keeper, Role.House), From, Period, Scope)];
}

/// <summary>A comparison file was opened.</summary>
public sealed record ComparisonFileOpened(Alias Keeper, CollectedFrom From, Edtf Period, Withheld<string>? Scope) : ComparisonFact
{
    protected override IEnumerable<Refusal> PermitOn(ComparisonFile file, Entry entry, ICited cited) => [];

    public override ComparisonFile Apply(ComparisonFile file, Entry entry) => file;
}
