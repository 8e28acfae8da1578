using Custody.Evidence;
using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class SearchingTests
{
    static readonly RecordSearch Search =
        new(SearchedIn.TheftList, SearchResult.Match, null, "a list", "C-9", null, null)
        {
            By = House,
            Occurred = Edtf.Parse("2024-02-28")
        };

    static StateGap Gap(string? from, string? until) => new(
        GapIn.Both, from is null ? null : Edtf.Parse(from), until is null ? null : Edtf.Parse(until), [SearchedIn.ClubRecords,
            SearchedIn.People], Agent, "nobody knew")
    { By = House };

    [Fact]
    public void A_search_counts_as_of_its_date()
    {
        Assert.Equal(SearchResult.Match, ABat().Given(Search).State.Searches.ByEntry[2].Result);
        Assert.Equal("date-missing", ABat().Refused(Search with { Occurred = null }));
    }

    [Fact]
    public void A_gap_is_stated_with_at_least_one_end()
    {
        Assert.Equal(GapIn.Both, ABat().Given(Gap("1961", "1974~"), Gap(null, "1974")).State.Searches.Gaps[2]);
        Assert.Equal("gap-without-bounds", ABat().Refused(Gap(null, null)));
        Assert.Equal("ends-before-it-begins", ABat().Refused(Gap("1974", "1961")));
    }
}
