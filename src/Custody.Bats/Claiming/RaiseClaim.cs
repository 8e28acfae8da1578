namespace Custody.Bats;

/// <summary>Record that someone claims something of this bat. The public sees that a claim is open and since when, never its
/// text.</summary>
public sealed record RaiseClaim(ClaimKind Kind, PartyId Claimant, AssertionBasis Basis, string? Text, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new ClaimRaised(Kind, people.Of(Claimant, Role.Claimant), Basis, Text, DocumentHash)];
}

/// <summary>A claim is open. One on title makes the title disputed until it is resolved; it stops nothing else: that is what holds are
/// for.</summary>
public sealed record ClaimRaised(
    ClaimKind Kind, Alias Claimant, AssertionBasis Basis, Withheld<string>? Text, Withheld<string>? DocumentHash) : BatFact
{
    // Somebody's right does not end with the record.
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (bat.Claims.ByEntry.Values.Any(c => c.ResolvedBy is null && c.Kind == Kind && c.Claimant == Claimant))
            yield return new("claim-known", "The same claim of the same claimant is open already.",
                "Nothing more is needed until it is resolved.");
        if (Kind == ClaimKind.Title && bat.Title is { Standing: TitleStanding.Asserted, Shares.Count: 1 } && bat.Title.IsHeldBy(Claimant))
            yield return new("claim-on-own", "The claimant is asserted to hold the whole title.", "Nothing needs to be claimed.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Claims = bat.Claims with { ByEntry = bat.Claims.ByEntry.Add(entry.N, new Claim(Kind, Claimant, null)) },
        Title = Kind == ClaimKind.Title ? bat.Title with { Standing = TitleStanding.Disputed } : bat.Title,
    };
}
