namespace Custody.Bats;

/// <summary>Record where on a bat he is usually seen to do one thing, from the occasions that show it.</summary>
/// <param name="Characteristic">Number of the <c>CharacteristicDefined</c>.</param>
/// <param name="Value">Which named value, from 1; null for whichever it is.</param>
/// <param name="Place">A band or patch, angles counted from the centre of the brand: marks photographed on one bat are on no other.</param>
/// <param name="Occasions">Numbers of the occasions that document it.</param>
/// <param name="Replaces">Number of the <c>UsualZoneRecorded</c> it takes the place of.</param>
public sealed record RecordUsualZone(
    long Characteristic, int? Value, SurfacePlace Place, IReadOnlyList<long> Occasions, long? Replaces, string? Remarks) : HabitCommand
{
    public override IReadOnlyList<Fact<HabitFile>> Produce(HabitFile file, Introductions people) =>
        [new UsualZoneRecorded(Characteristic, Value, Place, Occasions, Replaces, Remarks)];
}

/// <summary>A usual zone was recorded; it goes by this entry's number. It is no count: a weight never reads it.</summary>
public sealed record UsualZoneRecorded(
    long Characteristic, int? Value, SurfacePlace Place, IReadOnlyList<long> Occasions, long? Replaces, Withheld<string>? Remarks) : HabitFact
{
    protected override IEnumerable<Refusal> PermitOn(HabitFile file, Entry entry, ICited cited)
    {
        if (!file.Characteristics.TryGetValue(Characteristic, out var defined))
            yield return new("no-such-characteristic", "The zone names no characteristic of this file.", "Define it first.");
        else if (Value is { } value && (value < 1 || value > defined.Values))
            yield return new("value-unknown", "The value is none of the characteristic's.", "Give a named value, or none for whichever it is.");
        foreach (var refusal in SurfacePlace.Refuse(Place)) yield return refusal;
        if (Place.Shape == SurfaceShape.Point || Place.Datum != SurfaceDatum.Brand)
            yield return new("zone-not-on-brand", "A usual zone is a point, or is counted from a mark that one bat only has.",
                "Give a band or a patch, with angles from the centre of the brand.");
        if (OfOccasions(file) is { } unfit) yield return unfit;
        if (Replaces is { } old && !file.Zones.ContainsKey(old))
            yield return new("no-such-zone", $"Entry {old} of this file is no usual zone.", "Name the entry that recorded it.");
        else if (Replaces is { } earlier && file.Zones[earlier].Replaced is not null)
            yield return new("replaced-already", "This zone was replaced by a later one.", "Replace the later one.");
    }

    Refusal? OfOccasions(HabitFile file) =>
        Occasions.Count == 0 || Occasions.Distinct().Count() != Occasions.Count
            ? new("zone-not-documented", "No occasion documents the zone, or one stands twice.", "Name each occasion that shows it, once.")
        : Occasions.Any(n => !file.Occasions.ContainsKey(n))
            ? new("no-such-occasion", "The zone names no occasion of this file.", "Name entries that recorded occasions.")
        : Occasions.Any(n => file.Occasions[n].Withdrawn is not null)
            ? new("withdrawn-already", "One of the occasions was withdrawn.", "Name occasions that stand.")
        // A posed bat is often a prop, and a letter shows no place: neither says where he did it.
        : Occasions.Any(n => file.Occasions[n].Pool is not (Pool.InPlay or Pool.SurvivingBats))
            ? new("zone-not-counted", "One of the occasions is posed or only told of.", "Name pictures of play, film, or bats of documented custody.")
        : Occasions.Any(n => !file.Occasions[n].Observations.Exists(Shows))
            ? new("zone-not-shown", "One of the occasions does not show the characteristic, or shows another value.", "Name occasions that show it.")
        : null;

    bool Shows(Observation seen) => seen.Characteristic == Characteristic && seen.Observed == Observed.Seen && (Value is null || seen.Value == Value);

    public override HabitFile Apply(HabitFile file, Entry entry)
    {
        var zones = Replaces is { } old ? file.Zones.SetItem(old, file.Zones[old] with { Replaced = entry.N }) : file.Zones;
        return file with { Zones = zones.Add(entry.N, new UsualZone(Characteristic, Value, Place, [.. Occasions], Replaced: null)) };
    }
}
