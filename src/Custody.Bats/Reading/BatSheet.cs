using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Title as asserted.</summary>
/// <param name="Since">Entry that last moved it; 0 while nothing was asserted.</param>
public sealed record TitleOnSheet(TitleStanding Standing, IReadOnlyList<HeldShare> Holders, long Since);

/// <summary>Where the bat is: with a custodian, in transit under a release, or not known.</summary>
public sealed record CustodyOnSheet(LinkState State, Who? Custodian, long? Release, Who? BoundFor, long Since);

/// <summary>A house's present opinion in words.</summary>
public sealed record PresentOpinion(
    Who House, long Entry, OpinionOrigin Origin, IReadOnlyList<PairInWords> Pairs, Grade? Grade, bool PicturesOnly, FeeTerms Fee,
    IReadOnlyList<DeclaredInterest> Interests, IReadOnlyList<GradeAxis> Departures);

public sealed record HoldOnSheet(long Entry, IReadOnlyList<HoldScope> Scope, HoldGround Ground, Edtf? Review, DateTimeOffset Since);

/// <summary>That something is open and since when; never its text.</summary>
public sealed record ClaimOnSheet(long Entry, ClaimKind Kind, DateTimeOffset Since);

public sealed record MissingOnSheet(long Entry, MissingKind Kind, DateTimeOffset Since);

public sealed record LabelOnSheet(long Entry, long Serial, LabelForm Form, LabelPlace Affixed);

/// <summary>The present state of one bat.</summary>
/// <param name="Description">Null when not shown.</param>
/// <param name="Ending">Code of why the record does not go on here; null while it does.</param>
/// <param name="Lot">The lot now open to bids.</param>
/// <param name="Sale">The sale agreed and not yet completed.</param>
/// <param name="N">Number of the last entry.</param>
/// <param name="Head">Its hash.</param>
public sealed record BatSheet(
    string Stream, string ShortNumber, string? Description, string? Ending, TitleOnSheet Title, CustodyOnSheet Custody,
    IReadOnlyList<PresentOpinion> Opinions, bool HousesDisagree, int OpinionsWithdrawn, IReadOnlyList<HoldOnSheet> Holds,
    IReadOnlyList<ClaimOnSheet> OpenClaims, IReadOnlyList<MissingOnSheet> Missing, bool InDoubt, long? Lot, long? Sale, bool Consigned,
    IReadOnlyList<LabelOnSheet> Labels, IReadOnlyList<OpenItem> OpenWork, long N, string? Head, DateTimeOffset Recorded)
{
    internal static BatSheet Read(Reading reading)
    {
        var bat = reading.State;
        return new BatSheet(
            bat.Id, bat.Registration?.ShortNumber ?? "", reading.Entries is [var first, ..] ? ((BatRegistered)first.Fact).Description?.Value : null,
            bat.Registration is { Voided: true } ? "registration-voided" : bat.Identity.End?.Code,
            new TitleOnSheet(bat.Title.Standing, [.. bat.Title.Shares.Select(s => new HeldShare(reading.Who(s.Key), s.Value))], bat.Title.Since),
            CustodyOf(reading), OpinionsOf(reading), bat.Opinions.HousesDisagree(bat.Corrections),
            bat.Opinions.ByEntry.Keys.Count(n => !bat.Opinions.Counts(n, bat.Corrections)),
            HoldsOf(reading),
            [.. bat.Claims.OpenClaims.Select(n => new ClaimOnSheet(n, bat.Claims.ByEntry[n].Kind, reading[n].Recorded))],
            [.. bat.Claims.OpenMissing.Select(n => new MissingOnSheet(n, bat.Claims.MissingByEntry[n].Kind, reading[n].Recorded))],
            bat.Identity.InDoubt(bat.Corrections) || MixUps.Open(bat).Any(), bat.Lots.Open?.Key, bat.Sales.Agreed?.Key,
            bat.Consignments.OpenFor(bat.Title) is not null, LabelsOf(bat), bat.Corrections.Open, bat.N, bat.Head, bat.Recorded);
    }

    static CustodyOnSheet CustodyOf(Reading reading)
    {
        var keeping = reading.State.Keeping;
        var state = keeping.Custodian is not null ? LinkState.Held : keeping.InTransit is not null ? LinkState.InTransit : LinkState.NotKnown;
        var bound = keeping.InTransit is { } n ? keeping.Handovers[n].Bound : (Alias?)null;
        return new CustodyOnSheet(state, reading.WhoMaybe(keeping.Custodian), keeping.InTransit, reading.WhoMaybe(bound), keeping.Since);
    }

    static IReadOnlyList<PresentOpinion> OpinionsOf(Reading reading) =>
    [
        .. reading.State.Opinions.PresentByHouse(reading.State.Corrections).Select(present =>
        {
            var opinion = reading.State.Opinions.ByEntry[present.Value];
            return new PresentOpinion(
                reading.Who(present.Key), present.Value, opinion.Origin, opinion.Pairs, opinion.Grade, opinion.PicturesOnly, opinion.Fee,
                opinion.Interests, opinion.Departures);
        }),
    ];

    static IReadOnlyList<HoldOnSheet> HoldsOf(Reading reading) =>
    [
        .. reading.State.Holds.ByEntry.Where(h => !h.Value.Lifted)
            .Select(h => new HoldOnSheet(h.Key, [.. h.Value.Scope], h.Value.Ground, h.Value.Review, reading[h.Key].Recorded)),
    ];

    static IReadOnlyList<LabelOnSheet> LabelsOf(Bat bat) =>
    [
        .. bat.Labels.ByEntry.Where(l => bat.Labels.IsGood(l.Key, bat.Corrections))
            .Select(l => new LabelOnSheet(l.Key, l.Value.Serial, l.Value.Form, l.Value.Affixed)),
    ];
}
