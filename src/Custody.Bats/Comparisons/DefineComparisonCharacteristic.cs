namespace Custody.Bats;

/// <summary>Define a characteristic of the comparison file.</summary>
/// <param name="ValueNames">The names of its values, in order from value 1.</param>
public sealed record DefineComparisonCharacteristic(Characteristic Characteristic, string Title, IReadOnlyList<string> ValueNames) : ComparisonCommand
{
    public override IReadOnlyList<Fact<ComparisonFile>> Produce(ComparisonFile file, Introductions people) =>
        [new ComparisonCharacteristicDefined(Characteristic, Title, new Withheld<IReadOnlyList<string>>(ValueNames))];
}

/// <summary>A characteristic of the comparison file was defined; it goes by this entry's number.</summary>
public sealed record ComparisonCharacteristicDefined(
    Characteristic Characteristic, Withheld<string>? Title, Withheld<IReadOnlyList<string>>? ValueNames) : ComparisonFact
{
    protected override IEnumerable<Refusal> PermitOn(ComparisonFile file, Entry entry, ICited cited) => Characteristic.Refuse();

    public override ComparisonFile Apply(ComparisonFile file, Entry entry) =>
        file with { Characteristics = file.Characteristics.Add(entry.N, Characteristic) };
}
