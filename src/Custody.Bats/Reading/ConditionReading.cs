using Custody.Evidence;

namespace Custody.Bats;

/// <summary>From one examination to another.</summary>
/// <param name="Earlier">Entry of the earlier examination.</param>
/// <param name="Later">Entry of the later one.</param>
/// <param name="Difference">Null when refused.</param>
/// <param name="Between">Incidents, treatments and hand-overs recorded between the two.</param>
public sealed record ConditionStep(
    long Earlier, Edtf EarlierWhen, long Later, Edtf LaterWhen, SurfaceDifference? Difference, Refusal? Refused, IReadOnlyList<HappenedBetween> Between);

public sealed record HappenedBetween(long Entry, string Type);

/// <summary>A hand-over with the bat's condition at both ends, as far as somebody looked.</summary>
/// <param name="Received">Entry of the receipt; null while in transit, or when it went otherwise.</param>
/// <param name="Given">What the giving side wrote of its condition; null when not shown or not said. The same for <paramref name="Taken"/>.</param>
/// <param name="ExaminedBefore">The last examination locked before the release; null when there is none.</param>
/// <param name="ExaminedAfter">The first one locked after the receipt and before the bat was released again.</param>
public sealed record ConditionAtHandover(
    long Released, Who From, Who To, long? Received, string? Given, string? Taken, IReadOnlyList<PictureHash> PicturesGiven,
    IReadOnlyList<PictureHash> PicturesTaken, SealFound? Seal, IdentityResult? Identity, long? ExaminedBefore, long? ExaminedAfter, ConditionStep? Step);

/// <summary>How much of the surface a finding takes up.</summary>
/// <param name="SquareInches">To two places; null when the place lies beyond the barrel's end of the latest baseline.</param>
public sealed record FindingSurface(long Examination, string Finding, DecimalText? SquareInches);

/// <summary>Two findings of one examination whose places share at least a point: where one may lie over the other.</summary>
/// <param name="Shared">How much they share; the part is of the first.</param>
public sealed record FindingsOverlap(long Examination, string First, string Second, SpotOverlap Shared);

/// <summary>Condition over time, on the surface map.</summary>
/// <param name="Girths">The profile, from the latest baseline: girth by position, for drawing and for areas.</param>
/// <param name="Surfaces">Every placed finding's surface; empty without at least three girths.</param>
/// <param name="Overlaps">Every two findings of one examination that touch, both on the bat; empty without a profile.</param>
/// <param name="Examinations">Every examination with its findings, for drawing.</param>
/// <param name="NewDamage">What waits to be explained.</param>
public sealed record BatCondition(
    IReadOnlyList<ExaminationRead> Examinations, IReadOnlyList<ConditionStep> Steps, IReadOnlyList<ConditionAtHandover> Handovers,
    IReadOnlyList<DamageFound> NewDamage, IReadOnlyList<GirthAt> Girths, IReadOnlyList<FindingSurface> Surfaces, IReadOnlyList<FindingsOverlap> Overlaps,
    IReadOnlyList<string> Cautions)
{
    internal static BatCondition Read(Reading reading)
    {
        var examined = ExaminationRead.All(reading);
        var baseline = reading.Standing<BaselineRecorded>().LastOrDefault().Fact;
        var map = baseline is not null && BodyMeasures.Shape(baseline) is { } profile ? new SurfaceMap(profile) : null;
        return new(
            examined, [.. examined.Zip(examined.Skip(1), (a, b) => Between(reading, a, b))], [.. HandoversOf(reading, examined)], [.. Bats.NewDamage.In(reading.State)],
            baseline?.Girths ?? [], map is null ? [] : [.. SurfacesOf(examined, map)], map is null ? [] : [.. OverlapsOf(examined, map)],
            [
                "What an examination does not mention may have been there: only what was looked for and found absent is certainly new.",
                "Pictures show less than the bat in hand, and one light less than another.",
                "Two examiners may place one thing a stated tolerance apart; a change smaller than that is not seen.",
            ]);
    }

    static IEnumerable<FindingSurface> SurfacesOf(IReadOnlyList<ExaminationRead> examined, SurfaceMap map) =>
        from examination in examined
        from placed in Placed(examination)
        select new FindingSurface(examination.Entry, placed.Key, map.Holds(placed.Spot, out _) ? map.SquareInches(placed.Spot) : null);

    static IEnumerable<FindingsOverlap> OverlapsOf(IReadOnlyList<ExaminationRead> examined, SurfaceMap map) =>
        from examination in examined
        let placed = Placed(examination).Where(p => map.Holds(p.Spot, out _)).ToList()
        from first in placed.Select((p, i) => (p.Key, p.Spot, i))
        from second in placed.Skip(first.i + 1)
        let shared = map.Overlap(first.Spot, second.Spot)
        where shared.Touch
        select new FindingsOverlap(examination.Entry, first.Key, second.Key, shared);

    static IEnumerable<(string Key, Spot Spot)> Placed(ExaminationRead examination) =>
        examination.Findings.Where(f => f is { Presence: Presence.Seen, Place: not null }).Select(f => (f.Key, f.Place!.Spot()));

    /// <summary>The difference of any two examinations; null when one of them is not there.</summary>
    internal static ConditionStep? Between(Reading reading, long earlier, long later)
    {
        var examined = ExaminationRead.All(reading);
        return examined.FirstOrDefault(e => e.Entry == earlier) is { } a && examined.FirstOrDefault(e => e.Entry == later) is { } b ? Between(reading, a, b) : null;
    }

    static ConditionStep Between(Reading reading, ExaminationRead a, ExaminationRead b)
    {
        var compared = Condition.TryCompare(
            [.. a.Findings.Select(f => f.Placed())], [.. b.Findings.Select(f => f.Placed())], SpotTolerance.Usual, out var difference, out var refused);
        var (first, last) = (Math.Min(a.Locked, b.Locked), Math.Max(a.Locked, b.Locked));
        return new ConditionStep(
            a.Entry, a.When, b.Entry, b.When, compared ? difference : null, refused is null ? null : new(refused.Code, refused.Sentence, refused.Remedy),
            [
                .. reading.Entries.Where(e => e.N > first && e.N < last && !e.IsVoid
                    && e.Fact is IncidentReported or BatTreated or TreatmentReported or BatReleased or BatReceived).Select(e => new HappenedBetween(e.N, e.Fact.TypeName)),
            ]);
    }

    static IEnumerable<ConditionAtHandover> HandoversOf(Reading reading, IReadOnlyList<ExaminationRead> examined)
    {
        List<(Noted At, BatReleased Fact)> released = [.. reading.Standing<BatReleased>()];
        for (var i = 0; i < released.Count; i++)
        {
            var (at, fact) = released[i];
            var (taken, receipt) = reading.Standing<BatReceived>().FirstOrDefault(r => r.Fact.Handover == at.N);
            var next = i + 1 < released.Count ? released[i + 1].At.N : long.MaxValue;
            var before = examined.LastOrDefault(e => e.Locked < at.N);
            var after = taken is null ? null : examined.FirstOrDefault(e => e.Locked > taken.N && e.Locked < next);
            yield return new ConditionAtHandover(
                at.N, reading.Who(fact.From), reading.Who(fact.To), taken?.N, fact.Condition?.Value, receipt?.Condition?.Value, fact.Photographs,
                receipt?.Photographs ?? [], receipt?.Seal, receipt?.Identity, before?.Entry, after?.Entry,
                before is not null && after is not null ? Between(reading, before, after) : null);
        }
    }
}
