using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class CitingTests
{
    static WithdrawSource Withdraw(long source) => new(source, SourceWithdrawalGround.NotGenuine, "the paper is too young") { By = Examiner };

    [Fact]
    public void A_source_says_what_it_is_a_copy_of_and_which_occasion_it_shows()
    {
        var story = Registered().Given(Cite(), Cite(copyOf: 2), Cite(sameOccasion: 2));
        Assert.Equal(2, story.State.Sources.ByEntry[3].CopyOf);
        Assert.Equal(2, story.State.Sources.ByEntry[4].SameOccasion);
    }

    [Theory]
    [InlineData(1L, null)]
    [InlineData(null, 1L)]
    public void A_copy_names_a_source(long? copyOf, long? sameOccasion) =>
        Assert.Equal("no-such-source", Registered().Refused(Cite(copyOf: copyOf, sameOccasion: sameOccasion)));

    [Fact]
    public void A_copy_of_what_does_not_exist_is_refused() => Assert.Equal("rests-on-nothing", Registered().Refused(Cite(copyOf: 9)));

    [Fact]
    public void A_letter_shows_no_play()
    {
        Assert.Equal("not-a-picture", Registered().Refused(Cite(SourceKind.Letter)));
        Registered().Given(Cite(SourceKind.Letter, PlayShown.NotAPicture));
    }

    [Fact]
    public void A_source_shows_nothing_from_the_future() =>
        Assert.Equal("source-in-future", Registered().Refused(Cite() with { When = Edtf.Parse("2031") }));

    [Fact]
    public void A_withdrawn_source_reopens_its_copies_and_the_opinions_that_rest_on_it()
    {
        var story = Examined().Given(Cite(), Cite(copyOf: 5), Cite(sameOccasion: 5));
        story.Given(Opine(2) with { Grounds = new OpinionGrounds([2], Sources: [6]) }, Withdraw(5));
        Assert.Equal([6, 8], story.State.Corrections.Open.Select(o => o.Entry));
        Assert.Equal(9, story.State.Sources.ByEntry[5].Withdrawn);
    }

    [Fact]
    public void A_source_is_withdrawn_once() => Assert.Equal("source-withdrawn", Registered().Given(Cite(), Withdraw(2)).Refused(Withdraw(2)));

    [Fact]
    public void Only_a_source_is_withdrawn() => Assert.Equal("no-such-source", Registered().Refused(Withdraw(1)));

    [Fact]
    public void No_opinion_rests_on_a_withdrawn_source() => Assert.Equal("source-withdrawn", Examined().Given(Cite(), Withdraw(5))
        .Refused(Opine(2) with { Grounds = new OpinionGrounds([2], Sources: [5]) }));
}
