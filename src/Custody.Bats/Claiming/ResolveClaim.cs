namespace Custody.Bats;

/// <summary>How a claim ended.</summary>
public enum ClaimOutcome
{
    Withdrawn,
    Dismissed,
    Upheld,
    Agreed,
}

/// <summary>Record how a claim ended, and whose the bat is said to be if that changed with it.</summary>
/// <param name="Claim">Entry of the <c>ClaimRaised</c>.</param>
/// <param name="Title">Every share from now on; null or empty when title stays as it was asserted.</param>
public sealed record ResolveClaim(
    long Claim, ClaimOutcome Outcome, AssertionBasis Basis, IReadOnlyList<ShareOf>? Title, string? Explanation,
    string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new ClaimResolved(
            Claim, Outcome, Basis, [.. (Title ?? []).Select(s => new TitleShare(people.Of(s.Party, Role.Owner), s.Share))],
            Explanation, DocumentHash),
    ];
}

/// <summary>The claim ended. That it was raised stays in the record.</summary>
public sealed record ClaimResolved(
    long Claim, ClaimOutcome Outcome, AssertionBasis Basis, IReadOnlyList<TitleShare> Title, Withheld<string>? Explanation,
    Withheld<string>? DocumentHash) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Grounds.Refuse(bat, bat.Claims.ByEntry, Claim, "claim") is { } refused)
        {
            yield return refused;
            yield break;
        }
        var claim = bat.Claims.ByEntry[Claim];
        if (claim.ResolvedBy is { } n)
            yield return new("claim-resolved", $"That claim was resolved (entry {n}).", "Raise a new one if need be.");
        // Nobody rids a bat of a claim against them on their own word, and nobody has theirs upheld on it.
        if (!Proof.Suffices(Basis) && (Outcome == ClaimOutcome.Upheld || entry.Envelope.By != claim.Claimant))
            yield return new("resolved-on-own-word", "Only the claimant gives a claim up on their word, and no claim is upheld on it.",
                "Rest it on a document, a letter or a court order.");
        if (Title.Count > 0) foreach (var refusal in RefuseTitle(bat, entry, claim)) yield return refusal;
    }

    IEnumerable<Refusal> RefuseTitle(Bat bat, Entry entry, Claim claim)
    {
        foreach (var refusal in bat.RefuseElsewhere()) yield return refusal;
        foreach (var refusal in TitleShare.Refuse(Title)) yield return refusal;
        if (claim.Kind != ClaimKind.Title || Outcome is not (ClaimOutcome.Upheld or ClaimOutcome.Agreed))
            yield return new("title-not-claimed", "Title moves only with a claim on title that was upheld or agreed.",
                "Leave the shares out.");
        if (Basis != AssertionBasis.CourtOrder
            && bat.Title.Losing(Title).Any(holder => !Mandate.ActsFor(bat, entry, holder, AuthorisedAct.PassTitle)))
            yield return new("not-title-holder", "Someone would lose title without having agreed or a court having ordered it.",
                "Have the holder record it, or cite the court's order.");
        foreach (var refusal in bat.Holds.RefuseUnder(HoldScope.PassTitle)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry)
    {
        var resolved = bat.Claims.ByEntry[Claim] with { ResolvedBy = entry.N };
        var claims = bat.Claims with { ByEntry = bat.Claims.ByEntry.SetItem(Claim, resolved) };
        var title = Title.Count > 0 ? Bats.Title.AssertedBy(Title, entry.N) : bat.Title;
        return bat with { Claims = claims, Title = title with { Standing = StandingUnder(claims, title) } };
    }

    static TitleStanding StandingUnder(Claims claims, Title title) =>
        claims.DisputeTitle ? TitleStanding.Disputed : title.Shares.IsEmpty ? TitleStanding.Unknown : TitleStanding.Asserted;
}
