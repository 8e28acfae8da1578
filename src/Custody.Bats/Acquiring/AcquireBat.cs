using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How title comes to someone. Words of the trade; common practice.</summary>
public enum AcquisitionKind
{
    Purchase,
    Gift,
    Inheritance,
    Award,
    ClubRelease,
    Found,
    Exchange,
    Other,
}

/// <summary>Title moves here, outside any sale recorded on this bat: whose it is said to be from now on, all shares.</summary>
/// <param name="Title">Every share after the act.</param>
/// <param name="Price">What was given for it, if anything; withheld.</param>
/// <param name="DocumentHash">SHA-256 of the document; withheld.</param>
public sealed record AcquireBat(
    AcquisitionKind Kind, IReadOnlyList<ShareOf> Title, AssertionBasis Basis, Money? Price, string? Place, string? Circumstances,
    string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new BatAcquired(Kind, [.. Title.Select(s => new TitleShare(people.Of(s.Party, Role.Owner), s.Share))], Basis, Price, Place,
            Circumstances, DocumentHash),
    ];
}

/// <summary>Title as asserted moved. Those who have less afterwards agreed: each of them recorded it or authorised whoever did.</summary>
public sealed record BatAcquired(
    AcquisitionKind Kind, IReadOnlyList<TitleShare> Title, AssertionBasis Basis, Withheld<Money>? Price, Withheld<string>? Place,
    Withheld<string>? Circumstances, Withheld<string>? DocumentHash) : BatFact
{
    public override bool MovesTitleCustodyOrHold => true;
    public override bool IsTwoSided => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in bat.RefuseElsewhere()) yield return refusal;
        if (Title.Count == 0) yield return new("no-holder", "Nobody is named who acquired the bat.", "Name every holder with their share.");
        foreach (var refusal in TitleShare.Refuse(Title)) yield return refusal;
        if (Basis == AssertionBasis.None)
            yield return new("title-without-basis", "Title is asserted on no basis.", "Say what the assertion rests on.");
        if (bat.Title.IsAlready(Title))
            yield return new("title-unchanged", "The shares of title are these already.", "Nothing needs to be recorded.");
        if (bat.Title.Standing == TitleStanding.Disputed)
            yield return new("title-disputed", "The title is disputed.", "Resolve the claims first; until then record it as a report.");
        else if (bat.Title.Losing(Title).Any(holder => !Mandate.ActsFor(bat, entry, holder, AuthorisedAct.PassTitle)))
            yield return new("not-title-holder", "Someone would lose title without having agreed.",
                "Have the holder record it, or record their authority first.");
        // An heir comes into the consignor's place; anyone else would leave the house selling what is no longer the consignor's.
        if (Kind != AcquisitionKind.Inheritance) foreach (var refusal in Unfinished.RefuseOnTrade(bat).Take(1)) yield return refusal;
        foreach (var refusal in bat.Holds.RefuseUnder(HoldScope.PassTitle)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Title = Bats.Title.AssertedBy(Title, entry.N),
        Consignments = bat.Consignments.NowFor(Title.Select(s => s.Holder)),
    };
}
