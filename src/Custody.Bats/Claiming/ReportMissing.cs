namespace Custody.Bats;

/// <summary>Report that the bat is missing. When its own custodian reports it, custody is not known from then on.</summary>
public sealed record ReportMissing(
    MissingKind Kind, AssertionBasis Basis, string? Place, string? Account, string? PoliceNumber, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new ReportedMissing(Kind, Basis, Place, Account, PoliceNumber, DocumentHash)];
}

/// <summary>The bat is said to be missing. Always recordable.</summary>
public sealed record ReportedMissing(
    MissingKind Kind, AssertionBasis Basis, Withheld<string>? Place, Withheld<string>? Account, Withheld<string>? PoliceNumber,
    Withheld<string>? DocumentHash) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (bat.Claims.MissingByEntry.Values.Any(m => m.RecoveredBy is null && m.By == entry.Envelope.By && m.Kind == Kind))
            yield return new("missing-known", "The same report by the same person is open already.",
                "Nothing more is needed until the bat is recovered.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Claims = bat.Claims with { MissingByEntry = bat.Claims.MissingByEntry.Add(entry.N, new Missing(Kind, entry.Envelope.By, null)) },
        Keeping = bat.Keeping.Custodian is { } keeper && Mandate.ActsFor(bat, entry, keeper, AuthorisedAct.Release)
            ? bat.Keeping with { Custodian = null, Since = entry.N }
            : bat.Keeping,
    };
}
