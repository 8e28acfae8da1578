using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How overlaps with usual zones came about.</summary>
public enum ZonesMethod
{
    /// <summary>Computed on the surface map, version 1 of the method.</summary>
    Surface1,
}

/// <summary>How one placed finding meets one usual zone of what it is of.</summary>
/// <param name="Zone">The <c>UsualZoneRecorded</c>.</param>
/// <param name="Examination">Number of the <c>ExaminationOpened</c> whose finding it is.</param>
/// <param name="Finding">Number of that finding.</param>
/// <param name="Touch">Whether they share at least a point.</param>
/// <param name="Along">Length shared along the axis, inches to two places.</param>
/// <param name="Round">Part of the round shared, degrees to one place; null where their angles cannot be compared.</param>
/// <param name="OfFinding">How much of the finding lies in the zone, percent to one place.</param>
public sealed record ZoneMet(Reference Zone, long Examination, int Finding, bool Touch, Quantity Along, Quantity? Round, Quantity OfFinding) : IPart;

/// <summary>How the placed findings that an opinion rests on meet the usual zones of the habit file it cites. It stands beside the weight and is never in it.</summary>
/// <param name="Baseline">Number of the <c>BaselineRecorded</c> whose girths give the bat's shape.</param>
/// <param name="LeftOut">Numbers, in the habit file, of zones that this bat itself documents: they say nothing about it.</param>
/// <param name="Met">Every zone with every finding of its kind, also where they share nothing.</param>
public sealed record ZonesFound(ZonesMethod Method, long Baseline, IReadOnlyList<long> LeftOut, IReadOnlyList<ZoneMet> Met) : IPart
{
    static readonly Unit Degree = Unit.Find("deg")!, Percent = Unit.Find("%")!;

    internal IEnumerable<Refusal> Refuse(IComputedOpinion opinion, Bat bat, ICited cited)
    {
        if (opinion.HabitFile is not { } file)
            yield return new("zones-without-file", "Usual zones are named and no habit file.", "Cite the version of the habit file whose zones these are.");
        else if (Met.Any(m => m.Zone.Ledger is not null || m.Zone.Stream != file.Stream || m.Zone.N >= file.N))
            yield return new("zone-of-another-file", "A zone is not one that the version of the habit file cited knows.", "Name zones recorded before that version.");
        if (Met.Select(m => Grounds.Refuse<UsualZoneRecorded>(cited, m.Zone, "usual zone")).FirstOrDefault(r => r is not null) is { } missing) yield return missing;
        if (Grounds.Refuse(bat, bat.Identity.Baselines, Baseline, "baseline") is { } shapeless) yield return shapeless;
        if (Met.DistinctBy(m => (m.Zone, m.Examination, m.Finding)).Count() != Met.Count || LeftOut.Distinct().Count() != LeftOut.Count)
            yield return new("zone-met-twice", "One finding meets one zone twice.", "Give each once.");
        if (Met.Any(m => !opinion.Examinations.Contains(m.Examination) || !IsPlaced(bat, m)))
            yield return new("zone-finding-unknown", "A zone is met by a finding that is not there or has no place.", "Name placed findings of an examination the opinion rests on.");
        if (Met.Any(m => m.Along.Unit != Unit.Inch || m.Round is { Unit.Code: not "deg" } || m.OfFinding.Unit.Code != "%"))
            yield return new("zone-units", "An overlap is not in inches, degrees and percent.", "Give it as it was computed.");
    }

    /// <summary>The overlap as an opinion keeps it.</summary>
    internal static ZoneMet Of(Reference zone, long examination, int finding, SpotOverlap shared) => new(
        zone, examination, finding, shared.Touch, Quantity.Of(shared.Inches, Unit.Inch), shared.Degrees is { } round ? Quantity.Of(round, Degree) : null,
        Quantity.Of(shared.PercentOfFirst, Percent));

    static bool IsPlaced(Bat bat, ZoneMet met) =>
        bat.Examinations.ByEntry.GetValueOrDefault(met.Examination)?.Held.ContainsKey(met.Finding) == true;
}
