using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How bidders were told.</summary>
public enum Announcement
{
    CataloguePage,
    SaleroomNotice,
    FromTheRostrum,
    ToRegisteredBidders,
    NotAnnounced,
}

/// <summary>Change a lot's text, estimate or declared interests, and say when and how bidders were told: the saleroom notice.</summary>
/// <param name="Before">The text as it stood.</param>
/// <param name="After">The text as it stands from now on.</param>
/// <param name="Announced">When bidders were told (EDTF, may carry a time).</param>
/// <param name="Interests">All interests as declared from now on, not only the new ones; null leaves them as they are.</param>
/// <param name="Grounds">What the new text rests on.</param>
public sealed record AmendLot(
    long Lot, Announcement How, Edtf? Announced, IReadOnlyList<Interest>? Interests, IReadOnlyList<long>? Grounds, string? Before,
    string? After, Money? LowEstimate, Money? HighEstimate, Money? Reserve) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new LotAmended(
            Lot, How, Announced, Interests is null ? InterestsAmended.Unchanged : InterestsAmended.Restated, Interests ?? [], Grounds ?? [],
            Before, After, LowEstimate, HighEstimate, Reserve),
    ];
}

/// <summary>Whether an amendment restates the declared interests.</summary>
public enum InterestsAmended
{
    Unchanged,
    Restated,
}

/// <summary>The lot's text, estimate or declared interests changed. Settles the lot's open work: the text has been looked at again.</summary>
public sealed record LotAmended(
    long Lot, Announcement How, Edtf? Announced, InterestsAmended Amended, IReadOnlyList<Interest> Interests, IReadOnlyList<long> Grounds,
    Withheld<string>? Before, Withheld<string>? After, Withheld<Money>? LowEstimate, Withheld<Money>? HighEstimate,
    Withheld<Money>? Reserve) : BatFact
{
    public override IEnumerable<long> RestsOn => Grounds;
    public override IEnumerable<long> Settles => [Lot];

    public override bool DecidesBy(string member) => member is nameof(Interests) or nameof(Amended);

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in OpenLot.Check(bat, entry, Lot)) yield return refusal;
        if (How != Announcement.NotAnnounced && Announced is null)
            yield return new("announced-when", "It is not said when bidders were told.", "Give the date, or say that it was not announced.");
        if (Amended == InterestsAmended.Unchanged && Interests.Count > 0)
            yield return new("interests-unclear", "Interests are given as unchanged and listed.", "Restate them all, or list none.");
        if (Amended == InterestsAmended.Restated && bat.Lots.ByEntry.GetValueOrDefault(Lot) is { } lot)
            foreach (var refusal in Declared.Check(bat, lot.House, Interests)) yield return refusal;
        foreach (var refusal in OfferRules.Grounds(bat, Grounds)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat;
}

/// <summary>The rule of every act on a lot that is open to bids.</summary>
static class OpenLot
{
    public static IEnumerable<Refusal> Check(Bat bat, Entry entry, long n)
    {
        if (!bat.Lots.ByEntry.TryGetValue(n, out var lot))
            yield return new("no-such-lot", $"Entry {n} is not a lot of this bat.", "Name the entry that offered it.");
        else if (lot.Standing != LotStanding.Offered)
            yield return new("lot-not-open", "The lot is no longer open.", "Act on the lot that is open, or offer the bat again.");
        else if (entry.Envelope.By is not { } by || !bat.Authorities.Allow(by, lot.House, AuthorisedAct.Offer, entry.Envelope.Recorded))
            yield return new("not-the-offerer", "Only the house that offers the lot, or someone authorised by it, does this.", "Ask the house.");
    }
}
