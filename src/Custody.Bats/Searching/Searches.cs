using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>What was searched.</summary>
public enum SearchedIn
{
    TheftList,
    LossRegister,
    CollectionRegister,
    CourtRecords,
    AuctionRecords,
    ClubRecords,
    MakerRecords,
    Newspapers,
    FamilyPapers,
    People,
    Other,
}

/// <summary>What a search came to.</summary>
public enum SearchResult
{
    NothingFound,
    PossibleMatch,
    Match,
}

/// <summary>One search, by the number of its <c>SearchRecorded</c>.</summary>
public sealed record Search(SearchedIn In, SearchResult Result);

/// <summary>Which chain a stated gap is in.</summary>
public enum GapIn
{
    Custody,
    Title,
    Both,
}

/// <summary>Searches of theft lists and registers, and stated gaps.</summary>
public sealed record Searches
{
    public ImmutableSortedDictionary<long, Search> ByEntry { get; init; } = ImmutableSortedDictionary<long, Search>.Empty;

    /// <summary>Gaps by the number of the <c>GapStated</c>.</summary>
    public ImmutableSortedDictionary<long, GapIn> Gaps { get; init; } = ImmutableSortedDictionary<long, GapIn>.Empty;
}
