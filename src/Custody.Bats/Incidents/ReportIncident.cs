namespace Custody.Bats;

/// <summary>Report damage or loss: here, on the way, or before. Moves nothing by itself.</summary>
/// <param name="Handover">Entry of the <c>BatReleased</c> during which it happened, if any.</param>
public sealed record ReportIncident(
    IncidentKind Kind, IncidentExtent Extent, long? Handover, AssertionBasis Basis, IReadOnlyList<Irregularity>? Irregularities,
    IReadOnlyList<PictureHash>? Photographs, string? Place, string? Account, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new IncidentReported(
            Kind, Extent, Handover, Basis, [.. (Irregularities ?? []).Distinct().Order()], Photographs ?? [], Place, Account, DocumentHash),
    ];
}

/// <summary>Something befell the bat, as reported.</summary>
public sealed record IncidentReported(
    IncidentKind Kind, IncidentExtent Extent, long? Handover, AssertionBasis Basis, IReadOnlyList<Irregularity> Irregularities,
    IReadOnlyList<PictureHash> Photographs, Withheld<string>? Place, Withheld<string>? Account, Withheld<string>? DocumentHash) : BatFact
{
    public override bool IsReport => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Handover is { } n && Grounds.Refuse(bat, bat.Keeping.Handovers, n, "handover") is { } refused) yield return refused;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Incidents = bat.Incidents with { ByEntry = bat.Incidents.ByEntry.Add(entry.N, new Incident(Kind, Extent, [])) },
    };
}
