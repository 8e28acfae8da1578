namespace Custody.Bats;

/// <summary>Define a characteristic of the file.</summary>
/// <param name="ValueNames">The names of its values, in order from value 1.</param>
/// <param name="SameAs">The <c>ComparisonCharacteristicDefined</c> whose values these are, so that the two files can be set side by side.</param>
public sealed record DefineCharacteristic(Characteristic Characteristic, Reference? SameAs, string Title, IReadOnlyList<string> ValueNames) : HabitCommand
{
    public override IReadOnlyList<Fact<HabitFile>> Produce(HabitFile file, Introductions people) =>
        [new CharacteristicDefined(Characteristic, SameAs, Title, new Withheld<IReadOnlyList<string>>(ValueNames))];
}

/// <summary>A characteristic of the habit file was defined; it goes by this entry's number.</summary>
public sealed record CharacteristicDefined(
    Characteristic Characteristic, Reference? SameAs, Withheld<string>? Title, Withheld<IReadOnlyList<string>>? ValueNames) : HabitFact
{
    public override IEnumerable<Reference> Cites => SameAs is null ? [] : [SameAs];

    protected override IEnumerable<Refusal> PermitOn(HabitFile file, Entry entry, ICited cited)
    {
        foreach (var refusal in Characteristic.Refuse()) yield return refusal;
        if (SameAs is null) yield break;
        if (cited.Find(SameAs)?.Fact is not ComparisonCharacteristicDefined other)
            yield return new("cited-not-found", "The reference does not lead to a characteristic known here.", "Cite it by stream, number and hash.");
        else if (other.Characteristic.Kind != Characteristic.Kind || other.Characteristic.Values != Characteristic.Values)
            yield return new("characteristics-differ", "The comparison file's characteristic has another kind or other values.", "Define both alike.");
    }

    public override HabitFile Apply(HabitFile file, Entry entry) =>
        file with { Characteristics = file.Characteristics.Add(entry.N, Characteristic) };
}
