namespace Custody.Bats;

/// <summary>Report a treatment that was done elsewhere or before. What an examiner finds on the wood is a finding instead.</summary>
/// <param name="Basis">What the report rests on.</param>
/// <param name="DocumentHash">SHA-256 of the paper, when there is one.</param>
public sealed record ReportTreatment(
    IReadOnlyList<TreatmentKind> Kinds, Reversible Reversible, PartyId? Conservator, AssertionBasis Basis, string? Description,
    string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new TreatmentReported(Kinds, Reversible, people.OfMaybe(Conservator, Role.Conservator), Basis, Description, DocumentHash)];
}

/// <summary>A treatment done elsewhere or before was reported.</summary>
public sealed record TreatmentReported(
    IReadOnlyList<TreatmentKind> Kinds, Reversible Reversible, Alias? Conservator, AssertionBasis Basis,
    Withheld<string>? Description, Withheld<string>? DocumentHash) : BatFact
{
    public override bool IsReport => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Kinds.Count == 0)
            yield return new("treatment-of-no-kind", "Nothing says what was done.", "Name what was done, or other.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) =>
        bat with { Treatments = bat.Treatments.Add(entry.N, new Treatment([.. Kinds], Reversible, Reported: true)) };
}
