namespace Custody.Bats;

/// <summary>Make a version of the comparison file's counts, for opinions to cite.</summary>
public sealed record VersionComparisonCounts(string? Remarks) : ComparisonCommand
{
    public override IReadOnlyList<Fact<ComparisonFile>> Produce(ComparisonFile file, Introductions people) =>
        [new ComparisonCountsVersioned(file.Versions.Count + 1, file.Counts(), Remarks)];
}

/// <summary>A version of the counts, player by player. An empty one is refused: with nothing to compare there is no number at all.</summary>
public sealed record ComparisonCountsVersioned(long Version, IReadOnlyList<ValueCounts> Counts, Withheld<string>? Remarks) : ComparisonFact
{
    protected override IEnumerable<Refusal> PermitOn(ComparisonFile file, Entry entry, ICited cited)
    {
        if (Version != file.Versions.Count + 1)
            yield return new("version-out-of-order", "The version does not follow the last one.", "Read the file again and retry.");
        var counts = file.Counts();
        if (counts.Count == 0)
            yield return new("comparison-file-empty", "The comparison file counts nothing.", "Record occasions of other players first.");
        if (counts.Count != Counts.Count || !counts.Zip(Counts).All(p => p.First.SameAs(p.Second)))
            yield return new("counts-differ", "The counts are not what the file's occasions add up to.", "Read the file again and retry.");
    }

    public override ComparisonFile Apply(ComparisonFile file, Entry entry) => file with { Versions = file.Versions.Add(Version, entry.N) };
}
