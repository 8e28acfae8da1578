using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What a sentence of a lot's text claims.</summary>
public enum ClaimOf
{
    /// <summary>Who made the bat.</summary>
    Maker,

    /// <summary>In which seasons it was used.</summary>
    Seasons,

    /// <summary>What level of proposition about a player is supported, at least how strongly.</summary>
    Player,

    /// <summary>A mark, a preparation, or its absence.</summary>
    Preparation,

    /// <summary>That an archive picture shows this very wood.</summary>
    PictureComparison,

    /// <summary>Who held title at a time.</summary>
    Title,

    /// <summary>Who kept it at a time.</summary>
    Custody,

    /// <summary>That a house gave an opinion that stands.</summary>
    Opinion,

    /// <summary>That it was never cleaned, repaired or otherwise treated.</summary>
    Untreated,
}

/// <summary>One claim of a lot's text, given as values and not as prose. Which ones a claim needs, its kind says.</summary>
/// <param name="Name">Of the maker, the player, the holder or the house.</param>
/// <param name="From">First season.</param>
/// <param name="To">Last season.</param>
/// <param name="Support">The least word of support it says or implies.</param>
/// <param name="Mark">What kind of mark.</param>
/// <param name="Presence">Seen or absent; seen when left out.</param>
/// <param name="Source">Number of the <c>SourceCited</c> that shows the picture; any when left out.</param>
/// <param name="When">At what time (EDTF).</param>
public sealed record CatalogueClaim(
    ClaimOf Claim, string? Name = null, int? From = null, int? To = null, PropositionLevel? Level = null, SupportWord? Support = null,
    FindingKind? Mark = null, Presence? Presence = null, long? Source = null, Edtf? When = null)
{
    /// <summary>Why the claim cannot be checked; null when it can.</summary>
    internal Refusal? Refuse() =>
        Claim switch
        {
            ClaimOf.Maker or ClaimOf.Opinion => Name is not null,
            ClaimOf.Seasons => From is not null && To is not null && From <= To,
            ClaimOf.Player => Name is not null && Level is not null && Support is not (null or SupportWord.Neither),
            ClaimOf.Preparation => Mark is not null && Presence != Bats.Presence.NotAssessable,
            ClaimOf.Title or ClaimOf.Custody => Name is not null && When is not null,
            _ => true,
        }
            ? null : new("claim-incomplete", $"A claim of {Claim} lacks what it claims.",
                "Name the maker, house or holder; seasons from and to; a player with level and support; the kind of mark; the time of a holding.");
}

/// <summary>How the record stands to a claim.</summary>
public enum ClaimVerdict
{
    Supported,
    NotRecorded,
    Contradicted,
}

/// <summary>An entry that bears on a claim.</summary>
/// <param name="Says">What it says, in words.</param>
/// <param name="IsReport">Somebody's report of what happened elsewhere or before.</param>
public sealed record ClaimEntry(long Entry, string Type, bool IsReport, string Says);

/// <summary>A claim with what supports it and what speaks against it. One entry against it is enough: bidders have to be told of both.</summary>
/// <param name="OnlyReported">Nothing but reports support it.</param>
public sealed record ClaimChecked(
    CatalogueClaim Claim, ClaimVerdict Verdict, bool OnlyReported, IReadOnlyList<ClaimEntry> Supporting, IReadOnlyList<ClaimEntry> Against)
{
    internal static ClaimChecked Of(CatalogueClaim claim, IEnumerable<(bool Supports, ClaimEntry Entry)> bearing)
    {
        var sides = bearing.ToLookup(b => b.Supports, b => b.Entry);
        ClaimEntry[] supporting = [.. sides[true]], against = [.. sides[false]];
        return new(claim, against.Length > 0 ? ClaimVerdict.Contradicted : supporting.Length > 0 ? ClaimVerdict.Supported : ClaimVerdict.NotRecorded,
            supporting.Length > 0 && supporting.All(e => e.IsReport), supporting, against);
    }
}

/// <summary>A catalogue text checked against the record of one bat, claim by claim, in the order given.</summary>
/// <param name="N">Number of the last entry it was checked against.</param>
public sealed record CatalogueCheck(long N, IReadOnlyList<ClaimChecked> Claims, IReadOnlyList<string> Cautions)
{
    /// <summary>Checks claims; refuses <c>no-claims</c> and <c>claim-incomplete</c>.</summary>
    public static (CatalogueCheck? Check, Refusal? Refused) Of(Reading reading, IReadOnlyList<CatalogueClaim> claims) =>
        claims.Count == 0 ? (null, new("no-claims", "No claim is given.", "Give what the text claims, one by one."))
        : claims.Select(c => c.Refuse()).FirstOrDefault(r => r is not null) is { } refused ? (null, refused)
        : (new(reading.State.N, [.. claims.Select(c => ClaimChecked.Of(c, ClaimChecks.Bearing(reading, c)))],
        [
            "\"Not recorded\" is not \"untrue\": the record neither says it nor speaks against it.",
            "Names and words are compared with what this reader is shown; what is withheld can neither support nor contradict.",
            "Only the claims given are checked, not the text they came from.",
            Warranty.Text,
        ]), null);
}
