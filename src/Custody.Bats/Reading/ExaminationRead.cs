using Custody.Evidence;

namespace Custody.Bats;

/// <summary>One finding as it stands now.</summary>
/// <param name="Entry">The entry that says so last: the lock, or a revision.</param>
/// <param name="Text">Null when not shown.</param>
public sealed record FindingRead(
    int Number, FindingKind Kind, Presence Presence, Confidence Confidence, SeenBy SeenBy, SurfacePlace? Place, Quantity? Measure, string? Text, long Entry)
{
    /// <summary>f and its number.</summary>
    public string Key => Numbered.Key('f', Number);

    internal PlacedFinding Placed() => PlacedFindings.Of(Number, Kind, Presence, Place, Measure);
}

/// <summary>One examination with its findings and layers as they stand: locked ones with every revision made since.</summary>
/// <param name="Locked">Entry that locked the findings.</param>
/// <param name="When">When they were locked, or said to be.</param>
public sealed record ExaminationRead(
    long Entry, Who Examiner, Who House, ExaminedFrom From, long Locked, Edtf When, IReadOnlyList<FindingRead> Findings, IReadOnlyList<LayerSeen> Layers)
{
    /// <summary>Every examination whose locked findings stand, in order of locking.</summary>
    internal static IReadOnlyList<ExaminationRead> All(Reading reading)
    {
        var bat = reading.State;
        return
        [
            .. bat.Examinations.ByEntry.Where(e => !bat.Corrections.IsVoid(e.Key) && bat.Corrections.Stands(e.Value.Locked))
                .OrderBy(e => e.Value.Locked).Select(e => Of(reading, e.Key, e.Value)),
        ];
    }

    static ExaminationRead Of(Reading reading, long n, Examination examination)
    {
        var at = reading[examination.Locked!.Value];
        var locked = (FindingsLocked)at.Fact;
        SortedDictionary<int, FindingRead> findings = [];
        foreach (var (key, f) in locked.Findings)
            findings[Numbered.NumberOf('f', key)!.Value] = new(
                Numbered.NumberOf('f', key)!.Value, f.Kind, f.Presence, f.Confidence, f.SeenBy, f.Place, f.Measure, f.Text?.Value, at.N);
        List<LayerSeen> layers = [.. locked.Layers];
        foreach (var (revision, fact) in reading.Standing<FindingsRevised>().Where(r => r.Fact.Examination == n))
        {
            foreach (var (key, f) in fact.Findings) Revise(findings, Numbered.NumberOf('f', key)!.Value, f, revision.N);
            layers.AddRange(fact.Layers);
        }
        return new ExaminationRead(
            n, reading.Who(examination.Examiner), reading.Who(examination.House), examination.From, at.N, at.When, [.. findings.Values],
            [.. layers.Where(l => findings.ContainsKey(l.Over) && findings.ContainsKey(l.Under)).Distinct()]);
    }

    static void Revise(SortedDictionary<int, FindingRead> findings, int number, RevisedFinding f, long entry)
    {
        if (f.Change == RevisionKind.TakenBack) findings.Remove(number);
        else findings[number] = new(number, f.Kind, f.Presence, f.Confidence, f.SeenBy, f.Place, f.Measure, f.Text?.Value, entry);
    }
}
