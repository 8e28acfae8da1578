using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What kind of thing a source is; each kind has its own standing in the trade (common practice).</summary>
public enum SourceKind
{
    OriginalPrint,
    Negative,
    WirePhotograph,
    Film,
    Video,
    Card,
    Book,
    Programme,
    Yearbook,
    Newspaper,
    Magazine,
    SaleCatalogue,
    Interview,
    Letter,
    FactoryRecord,
    ClubRecord,
    OtherDocument,
    OtherPicture,
}

/// <summary>How near what was seen stands to the thing itself.</summary>
public enum SourceStanding
{
    Original,
    CopyOfOriginal,
    PublishedReproduction,
    WrittenOut,
    Recollection,
    NotKnown,
}

/// <summary>Whether a picture was taken in play or posed: a posed bat is often a prop.</summary>
public enum PlayShown
{
    InPlay,
    Posed,
    CannotBeTold,
    NotAPicture,
}

/// <summary>Cite a source for the bat.</summary>
/// <param name="When">When what it shows took place (EDTF).</param>
/// <param name="CopyOf">Number of a source on this bat of which it is a copy.</param>
/// <param name="SameOccasion">Number of a source on this bat that shows the same occasion: one game is one occasion.</param>
/// <param name="Shows">What kinds of finding it bears on.</param>
/// <param name="Picture">Released copy, when it is a picture.</param>
/// <param name="CopyHash">SHA-256 of the copy kept.</param>
public sealed record CiteSource(
    SourceKind Kind, SourceStanding Standing, PlayShown Play, Edtf? When, long? CopyOf, long? SameOccasion, IReadOnlyList<FindingKind>? Shows,
    PictureHash? Picture, string Title, string? Holder, string? WhatItShows, string? CopyHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new SourceCited(Kind, Standing, Play, When, CopyOf, SameOccasion, Shows ?? [], Picture, Title, Holder, WhatItShows, CopyHash)];
}

/// <summary>A source was cited.</summary>
public sealed record SourceCited(
    SourceKind Kind, SourceStanding Standing, PlayShown Play, Edtf? When, long? CopyOf, long? SameOccasion, IReadOnlyList<FindingKind> Shows,
    PictureHash? Picture, Withheld<string>? Title, Withheld<string>? Holder, Withheld<string>? WhatItShows, Withheld<string>? CopyHash) : BatFact
{
    /// <summary>A copy falls with its original; another view of the same occasion does not.</summary>
    public override IEnumerable<long> RestsOn => CopyOf is { } original ? [original] : [];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        long[] linked = [.. new[] { CopyOf, SameOccasion }.OfType<long>()];
        if (Grounds.Refuse(bat, bat.Sources.ByEntry, linked, "source") is { } missing) yield return missing;
        if (IsNarrative && Play != PlayShown.NotAPicture)
            yield return new("not-a-picture", "A source of this kind shows no play.", "Say that it is not a picture.");
        if (When is { } when && when.CertainlyAfter(DateOnly.FromDateTime(entry.Envelope.Recorded.UtcDateTime).AddDays(1)))
            yield return new("source-in-future", "What the source shows is certainly in the future.", "Give the date of what it shows.");
    }

    bool IsNarrative => Kind is SourceKind.Interview or SourceKind.Letter or SourceKind.FactoryRecord or SourceKind.ClubRecord;

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Sources = bat.Sources with
        {
            ByEntry = bat.Sources.ByEntry.Add(
                entry.N, new Source(Kind, Standing, Play, When, CopyOf, SameOccasion, [.. Shows], Picture, Withdrawn: null)),
        },
    };
}
