namespace Custody.Bats;

/// <summary>How a bat came back to light.</summary>
public enum RecoveryMeans
{
    HandedBack,
    Found,
    FromPolice,
    ByCourtOrder,
    FromInsurer,
    NeverMissing,
}

/// <summary>The bat is known to be with someone again: after it was missing, misdelivered, or when nobody knew who kept it.</summary>
/// <param name="Missing">Entry of the <c>ReportedMissing</c> that ends; null when none was made.</param>
/// <param name="Keeper">Who has it.</param>
public sealed record RecordRecovery(
    long? Missing, PartyId Keeper, RecoveryMeans Means, AssertionBasis Basis, string? Place, string? Account,
    string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new Recovered(Missing, people.Of(Keeper, Role.Custodian), Means, Basis, Place, Account, DocumentHash)];
}

/// <summary>The bat is known to be with someone again. While it is in transit only the missing report ends: the hand-over is answered
/// by its own acts.</summary>
public sealed record Recovered(
    long? Missing, Alias Keeper, RecoveryMeans Means, AssertionBasis Basis, Withheld<string>? Place, Withheld<string>? Account,
    Withheld<string>? DocumentHash) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Missing is { } n && Grounds.Refuse(bat, bat.Claims.MissingByEntry, n, "missing-report") is { } refused)
            yield return refused;
        else if (Missing is { } m && bat.Claims.MissingByEntry[m].RecoveredBy is { } r)
            yield return new("recovered-already", $"That report ended with entry {r}.", "Name a report that is open.");
        if (Missing is null && bat.Keeping.IsKnown)
            yield return new("nothing-to-recover", "Nobody reported the bat missing, and it is known where it is.",
                "Hand it over by release and receipt.");
        if (bat.Keeping.Custodian is { } keeper && keeper != Keeper && !ByForceOfLaw)
            yield return new("custodian-known", "Another has the bat, and did not report it missing.",
                "Have them release it, or rest it on the police or a court order.");
    }

    bool ByForceOfLaw => Means is RecoveryMeans.FromPolice or RecoveryMeans.ByCourtOrder && Proof.Suffices(Basis);

    protected override Bat ApplyTo(Bat bat, Entry entry)
    {
        var claims = bat.Claims;
        if (Missing is { } n)
        {
            var recovered = claims.MissingByEntry[n] with { RecoveredBy = entry.N };
            claims = claims with { MissingByEntry = claims.MissingByEntry.SetItem(n, recovered) };
        }
        var moves = bat.Keeping.InTransit is null && bat.Keeping.Custodian != Keeper;
        return bat with { Claims = claims, Keeping = moves ? bat.Keeping with { Custodian = Keeper, Since = entry.N } : bat.Keeping };
    }
}
