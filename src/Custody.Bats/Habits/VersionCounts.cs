namespace Custody.Bats;

/// <summary>Make a version of the file's counts, for opinions to cite.</summary>
/// <param name="Order">Every characteristic by expected weight, heaviest first: within each group of kinds the first one that can be judged
/// counts, so the order is fixed before any bat is seen.</param>
public sealed record VersionCounts(IReadOnlyList<long> Order, string? Remarks) : HabitCommand
{
    public override IReadOnlyList<Fact<HabitFile>> Produce(HabitFile file, Introductions people) =>
        [new CountsVersioned(file.Versions.Count + 1, Order, file.Counts(), Remarks)];
}

/// <summary>A version of the counts. It repeats what the file's entries add up to, because an opinion's dossier carries this entry and not
/// the whole file.</summary>
public sealed record CountsVersioned(
    long Version, IReadOnlyList<long> Order, IReadOnlyList<ValueCounts> Counts, Withheld<string>? Remarks) : HabitFact
{
    protected override IEnumerable<Refusal> PermitOn(HabitFile file, Entry entry, ICited cited)
    {
        if (Version != file.Versions.Count + 1)
            yield return new("version-out-of-order", "The version does not follow the last one.", "Read the file again and retry.");
        if (!Order.Order().SequenceEqual(file.Characteristics.Keys))
            yield return new("order-incomplete", "The order does not name every characteristic once.", "Order all characteristics of the file.");
        var counts = file.Counts();
        if (counts.Count != Counts.Count || !counts.Zip(Counts).All(p => p.First.SameAs(p.Second)))
            yield return new("counts-differ", "The counts are not what the file's occasions add up to.", "Read the file again and retry.");
    }

    public override HabitFile Apply(HabitFile file, Entry entry) => file with { Versions = file.Versions.Add(Version, entry.N) };
}
