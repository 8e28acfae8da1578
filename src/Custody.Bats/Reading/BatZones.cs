using Custody.Evidence;

namespace Custody.Bats;

/// <summary>A usual zone of a player as a habit file has it.</summary>
/// <param name="Value">Which named value; null for whichever it is.</param>
/// <param name="Occasions">Entries of the file that document it.</param>
/// <param name="Title">What the file calls the characteristic; null when not shown. The same for <paramref name="Remarks"/>.</param>
/// <param name="ValueName">What the file calls the value; null where it names none or it is not shown.</param>
public sealed record ZoneRead(
    Reference Zone, long Characteristic, FindingKind Kind, int? Value, SurfacePlace Place, IReadOnlyList<long> Occasions, string? Title, string? ValueName, string? Remarks);

/// <summary>One placed finding and one usual zone of its kind.</summary>
/// <param name="Zone">Number of the zone in its file.</param>
/// <param name="Shared">What they share; the part is of the finding.</param>
public sealed record ZoneOverlap(long Zone, long Examination, int Finding, SpotOverlap Shared)
{
    /// <summary>f and the finding's number.</summary>
    public string Key => Numbered.Key('f', Finding);
}

/// <summary>The placed findings of a bat against the usual zones of a player's habit file. It says where, and weighs nothing.</summary>
/// <param name="Version">The last entry of the file that is read.</param>
/// <param name="Baseline">The baseline whose girths give the bat's shape; null without at least three girths.</param>
/// <param name="LeftOut">Zones that this bat itself documents, by number.</param>
/// <param name="Overlaps">Every zone with every placed finding of its kind, also where they share nothing.</param>
/// <param name="Refused">Why nothing could be computed.</param>
/// <param name="Found">The same as an opinion keeps it; null where the file has no zone, or nothing could be computed.</param>
public sealed record BatZones(
    string Method, Reference Version, long? Baseline, IReadOnlyList<ZoneRead> Zones, IReadOnlyList<long> LeftOut, IReadOnlyList<ZoneOverlap> Overlaps,
    Refusal? Refused, ZonesFound? Found, IReadOnlyList<string> Cautions)
{
    /// <summary>Said beside every comparison with a usual zone.</summary>
    public const string Caution =
        "A usual zone says where he was seen to do it on the occasions named. Others may do it there too: it stands beside the weight and is never in it.";

    /// <param name="examinations">Entries whose findings are compared; every one with locked findings when null.</param>
    /// <param name="leftOut">Zones to leave out as the bat's own; null to find them in what this reader is shown.</param>
    internal static BatZones Read(Reading reading, IReadOnlyList<Entry> habits, IReadOnlyList<long>? examinations, IReadOnlyList<long>? leftOut)
    {
        var file = habits.Aggregate(new HabitFile(), (state, entry) => state.Fold(entry));
        var own = leftOut is null ? FilesToWeigh.OwnIn(habits, file.Occasions, WeighingReading.Streams(reading)) : new HashSet<long>();
        IReadOnlyList<long> left = leftOut ?? [.. file.ZonesOfItsOwn(own)];
        List<ZoneRead> zones = [.. file.ZonesThatCount(own).Where(z => !left.Contains(z.Key)).Select(z => Of(habits, z.Key, z.Value, file.Characteristics[z.Value.Characteristic].Kind))];
        var (at, baseline) = reading.Standing<BaselineRecorded>().LastOrDefault();
        var map = baseline is not null && BodyMeasures.Shape(baseline) is { } shape ? new SurfaceMap(shape) : null;
        Refusal? refused = map is not null || zones.Count == 0 ? null
            : new("shape-not-measured", "No baseline of this bat has the three girths that give its shape.", "Record a baseline with girths at three positions.");
        List<ZoneOverlap> overlaps = map is null ? [] : [.. Overlapping(reading, zones, examinations, map)];
        return new BatZones(
            SurfaceMap.Method, new(null, habits[^1].Envelope.Stream, habits[^1].N, habits[^1].Hash), map is null ? null : at.N, zones, left, overlaps, refused,
            map is null || zones.Count + left.Count == 0 ? null : new ZonesFound(ZonesMethod.Surface1, at.N, left, [.. overlaps.Select(o => ZonesFound.Of(Named(zones, o.Zone), o.Examination, o.Finding, o.Shared))]),
            [
                Caution,
                "Wear, cleaning and later treatment move the edges of what is seen.",
                "Two examiners may place one thing a quarter inch and ten degrees apart.",
            ]);
    }

    static Reference Named(List<ZoneRead> zones, long n) => zones.First(z => z.Zone.N == n).Zone;

    static ZoneRead Of(IReadOnlyList<Entry> habits, long n, UsualZone zone, FindingKind kind)
    {
        var (entry, defined) = (habits[(int)n - 1], (CharacteristicDefined)habits[(int)zone.Characteristic - 1].Fact);
        return new ZoneRead(
            entry.Reference, zone.Characteristic, kind, zone.Value, zone.Place, zone.Occasions, defined.Title?.Value,
            zone.Value is { } value && defined.ValueNames?.Value is { } names && value <= names.Count ? names[value - 1] : null, ((UsualZoneRecorded)entry.Fact).Remarks?.Value);
    }

    static IEnumerable<ZoneOverlap> Overlapping(Reading reading, List<ZoneRead> zones, IReadOnlyList<long>? examinations, SurfaceMap map) =>
        from examination in ExaminationRead.All(reading)
        where examinations?.Contains(examination.Entry) != false
        from finding in examination.Findings
        where finding is { Presence: Presence.Seen, Place: not null }
        let spot = finding.Place!.Spot()
        where map.Holds(spot, out _)
        from zone in zones
        where zone.Kind == finding.Kind
        select new ZoneOverlap(zone.Zone.N, examination.Entry, finding.Number, map.Overlap(spot, zone.Place.Spot()));
}
